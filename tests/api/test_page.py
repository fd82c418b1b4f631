"""The phone page leads from typed words to a proved repair."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, Route, expect

from knowledge.load import Knowledge, load_knowledge
from tests.page.service import running_service
from tests.page.walk import (
    answer,
    answer_anything,
    answer_truthfully,
    choose_site,
    find_causes,
    heading,
    leading_cause,
    measured_check,
    next_check,
    overflow_px,
    press,
    read_cautions,
    say,
    see_causes,
    small_targets,
    unfold,
)

SMALL = "Larkmoor"
MEDIUM = "Hallowbeck"
MOST_ANSWERS = 4
UNTIL_SURE = 12

# What a truthful technician finds when this is the fault. A check that is not named shows what a healthy one shows.
CORES_EXCHANGED = {
    "ask-since-when": "after-work",
    "volts-drive": "reversed",
    "try-drive-alone-reversed": "reversed",
    "try-swap-cores": "cured",
    "look-terminals-drive": "swapped",
    "ask-one-or-all": "one-drive",
    "look-drive-behaviour": "moves",
    "try-discovery-single": "not-found",
}
DATA_CORE_OPEN = {
    "look-count-found": "none",
    "ask-since-when": "after-work",
    "volts-data-core": "none",
    "ohms-core": "open",
    "try-discovery-single": "not-found",
    "try-discovery-again": "same",
    "look-drive-behaviour": "silent",  # on a data line a drive that hears nothing stays still
    "ask-both-directions": "both-fail",
    "look-terminals-drive": "loose",
}
HELD_OFF = {
    "look-last-command-source": "manual",
    "ask-last-manual": "within-hold-off",
    "read-hold-off-remaining": "running",
    "read-standing-command": "manual",
    "ask-normal-behaviour": "as-described",
    "read-hold-off": "usual",
}
STORIES = [
    ("actuator runs wrong way", CORES_EXCHANGED, "polarity-swapped"),
    ("automatic command ignored", HELD_OFF, "hold-off-active"),
    ("discovery finds zero motors", DATA_CORE_OPEN, "data-core-open"),
]


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with running_service(tmp_path_factory.mktemp("service")) as address:
        yield address


@pytest.fixture(scope="module")
def knowledge() -> Knowledge:
    return load_knowledge()


@pytest.fixture(autouse=True)
def no_faults(page: Page, address: str) -> Iterator[None]:
    """Fail a test whose page met a script error, broke its own content rules or asked anybody but the service."""
    errors: list[str] = []
    foreign: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.on("console", lambda it: errors.append(it.text) if "Content Security Policy" in it.text else None)
    page.on("request", lambda it: foreign.append(it.url) if not it.url.startswith(address) else None)
    yield
    assert (errors, foreign) == ([], [])


def ask_about(page: Page, moment: str) -> None:
    unfold(page, "Asking about now")
    page.get_by_label("Time asked about").fill(moment)


def moved_by_hand(page: Page, clock: str) -> None:
    unfold(page, "Last moved by hand")
    page.get_by_label("Or the time of day").fill(clock)
    press(page, "Set")
    expect(page.locator("summary").filter(has_text="Last moved by hand")).to_contain_text(clock)


@pytest.mark.parametrize("site", [SMALL, MEDIUM])
@pytest.mark.parametrize(("text", "truth", "cause"), STORIES)
def test_typed_words_lead_to_the_cause_within_four_answers(
    page: Page, address: str, knowledge: Knowledge, site: str, text: str, truth: Mapping[str, str], cause: str
) -> None:
    choose_site(page, address, site)
    say(page, text)
    find_causes(page)

    answer_truthfully(page, knowledge, truth, MOST_ANSWERS)
    see_causes(page)

    assert leading_cause(page) == knowledge.causes[cause].name


def test_twelve_minutes_after_a_manual_command_the_hold_off_leads_and_the_resume_time_is_shown(
    page: Page, address: str, knowledge: Knowledge
) -> None:
    page.goto(address)
    ask_about(page, "2026-05-04T10:17")
    page.get_by_role("button", name=re.compile(f"^{SMALL}")).tap()
    say(page, "automatic command ignored")
    moved_by_hand(page, "10:05")
    find_causes(page)

    assert leading_cause(page) == knowledge.causes["hold-off-active"].name
    expect(page.get_by_text("Automatic works again at 10:35.")).to_be_visible()


def test_thirty_one_minutes_after_a_manual_command_the_hold_off_no_longer_leads(
    page: Page, address: str, knowledge: Knowledge
) -> None:
    page.goto(address)
    ask_about(page, "2026-05-04T10:17")
    page.get_by_role("button", name=re.compile(f"^{SMALL}")).tap()
    say(page, "automatic command ignored")
    moved_by_hand(page, "09:46")
    find_causes(page)

    assert leading_cause(page) != knowledge.causes["hold-off-active"].name
    expect(page.get_by_text("Automatic works again")).to_have_count(0)


def test_minutes_ago_are_counted_from_now(page: Page, address: str, knowledge: Knowledge) -> None:
    choose_site(page, address, SMALL)
    say(page, "automatic command ignored")
    unfold(page, "Last moved by hand")
    press(page, "15 min ago")
    find_causes(page)

    assert leading_cause(page) == knowledge.causes["hold-off-active"].name
    expect(page.get_by_text("Automatic works again at")).to_be_visible()


def test_a_zone_named_on_the_medium_site_shows_its_own_resume_time(page: Page, address: str) -> None:
    page.goto(address)
    ask_about(page, "2026-05-04T10:17")
    page.get_by_role("button", name=re.compile(f"^{MEDIUM}")).tap()
    say(page, "automatic command ignored")
    page.get_by_label("Archive air").check()
    moved_by_hand(page, "10:05")
    find_causes(page)

    expect(page.get_by_text("Automatic works again at 11:05.")).to_be_visible()


def test_a_proved_repair_ends_in_a_summary_of_what_was_found(page: Page, address: str, knowledge: Knowledge) -> None:
    choose_site(page, address, SMALL)
    say(page, "actuator runs wrong way")
    find_causes(page)
    answer_truthfully(page, knowledge, CORES_EXCHANGED, UNTIL_SURE)
    press(page, "Proved")

    expect(heading(page)).to_have_text("Proved and done")
    expect(page.locator("main")).to_contain_text("It runs the wrong way")
    expect(page.locator("main")).to_contain_text(knowledge.causes["polarity-swapped"].name)
    expect(page.locator("main")).to_contain_text(knowledge.causes["polarity-swapped"].proof[0])


def test_a_repair_that_did_not_help_is_not_offered_again(page: Page, address: str, knowledge: Knowledge) -> None:
    name = knowledge.causes["polarity-swapped"].name
    choose_site(page, address, SMALL)
    say(page, "actuator runs wrong way")
    find_causes(page)
    given = answer_truthfully(page, knowledge, CORES_EXCHANGED, UNTIL_SURE)
    expect(heading(page)).to_have_text(name)
    press(page, "Still there")

    expect(heading(page)).not_to_have_text(name)
    see_causes(page)
    unfold(page, f"Your answers ({given + 1})")
    expect(page.get_by_text(re.compile(f"^{name}.*Repaired; still there$"))).to_be_visible()


def test_undo_takes_the_last_answer_back(page: Page, address: str) -> None:
    choose_site(page, address, SMALL)
    say(page, "actuator runs wrong way")
    find_causes(page)
    first = next_check(page)
    answer(page, "not-sure")
    expect(heading(page)).not_to_have_text(first)
    press(page, "Undo the last answer")

    expect(heading(page)).to_have_text(first)
    expect(page.get_by_text("Your answer")).to_have_count(0)


def test_back_shows_the_earlier_check_with_the_answer_given_and_forward_keeps_what_followed(
    page: Page, address: str
) -> None:
    choose_site(page, address, SMALL)
    say(page, "actuator runs wrong way")
    find_causes(page)
    first = next_check(page)
    given = answer_anything(page)
    expect(heading(page)).not_to_have_text(first)
    second = heading(page).inner_text()
    press(page, "Back")

    expect(heading(page)).to_have_text(first)
    expect(page.locator(f"button[value='{given}']")).to_have_attribute("aria-pressed", "true")
    page.go_forward()
    expect(heading(page)).to_have_text(second)


def test_a_reload_loses_nothing(page: Page, address: str) -> None:
    choose_site(page, address, SMALL)
    say(page, "actuator runs wrong way")
    find_causes(page)
    first = next_check(page)
    answer_anything(page)
    expect(heading(page)).not_to_have_text(first)
    second = heading(page).inner_text()
    page.reload()

    expect(heading(page)).to_have_text(second)
    press(page, "See causes")
    unfold(page, "Your answers (1)")
    expect(page.locator("details[open]").filter(has_text="Your answers")).to_contain_text(first)


def open_reading(page: Page, address: str) -> str:
    """Come to a measurement on the small site and return its unit."""
    words, check, unit = measured_check(address)
    choose_site(page, address, SMALL)
    say(page, words)
    find_causes(page)
    page.goto(f"{address}/#/check/0/{check}")
    read_cautions(page)
    expect(page.get_by_label(f"Reading in {unit}")).to_be_visible()
    return unit


def test_a_reading_may_be_typed_with_a_decimal_comma(page: Page, address: str) -> None:
    unit = open_reading(page, address)
    page.get_by_label(f"Reading in {unit}").fill("0,4")
    press(page, "Use it")

    page.wait_for_url("**/1")
    page.goto(f"{address}/#/causes/1")
    unfold(page, "Your answers (1)")
    expect(page.locator("details[open]").filter(has_text="Your answers")).to_contain_text(f"0,4 {unit}")
    expect(page.get_by_text("Your finding speaks").first).to_be_attached()


def test_an_impossible_reading_is_refused_at_the_field_and_nothing_is_lost(page: Page, address: str) -> None:
    field = page.get_by_label(f"Reading in {open_reading(page, address)}")
    field.fill("9000")
    press(page, "Use it")

    expect(field).to_have_attribute("aria-invalid", "true")
    expect(page.locator("#reading-wrong")).to_contain_text("9000")
    expect(field).to_have_value("9000")
    assert "#/check/0/" in page.url


def test_dangerous_cautions_stand_alone_before_the_steps_and_above_them_afterwards(page: Page, address: str) -> None:
    words, check, _ = measured_check(address)
    choose_site(page, address, SMALL)
    say(page, words)
    find_causes(page)
    page.goto(f"{address}/#/check/0/{check}")
    how = page.get_by_role("heading", name="How", exact=True)
    expect(page.get_by_role("heading", name=re.compile("^Caution: ")).first).to_be_visible()
    expect(how).to_have_count(0)
    read_cautions(page)
    expect(how).to_be_visible()

    named, steps = page.locator("summary").filter(has_text="Cautions: ").bounding_box(), how.bounding_box()
    assert named is not None
    assert steps is not None
    assert named["y"] < steps["y"]


def test_words_that_mean_no_fault_are_declined_kindly_and_kept_for_another_try(page: Page, address: str) -> None:
    choose_site(page, address, SMALL)
    say(page, "what will the weather be tomorrow")

    expect(heading(page)).to_have_text("That was not understood")
    expect(page.locator("main")).to_contain_text("Say which part and what it does")
    press(page, "Say it in other words")
    expect(page.get_by_label("In your own words")).to_have_value("what will the weather be tomorrow")


def test_typed_markup_is_shown_as_text(page: Page, address: str) -> None:
    typed = "<img src=x onerror=alert(1)> window does not open"
    choose_site(page, address, SMALL)
    say(page, typed)

    expect(page.locator("main q").first).to_have_text(typed)
    expect(page.locator("main img")).to_have_count(0)


def test_a_symptom_can_be_chosen_from_the_list_by_searching(page: Page, address: str) -> None:
    choose_site(page, address, SMALL)
    press(page, "Choose from the list")
    page.get_by_label("Search").fill("wrong way")
    page.get_by_role("button", name=re.compile("^It runs the wrong way")).tap()

    expect(heading(page)).to_have_text("Is this what you mean?")
    expect(page.get_by_label("It runs the wrong way")).to_be_checked()


def test_a_case_without_a_site_description_comes_to_causes(page: Page, address: str) -> None:
    choose_site(page, address, "No description")
    say(page, "actuator runs wrong way")
    find_causes(page)

    assert page.locator(".cause").count() >= 4


def test_every_cause_of_the_catalogue_can_be_asked_why_not(page: Page, address: str, knowledge: Knowledge) -> None:
    choose_site(page, address, SMALL)
    say(page, "actuator runs wrong way")
    find_causes(page)
    unfold(page, "Why not another cause?")
    expect(page.locator("#why-not option")).to_have_count(len(knowledge.causes))
    page.get_by_label("Cause", exact=True).select_option("battery-aged")
    press(page, "Why not this?")

    expect(page.get_by_text("No rule connects it with")).to_be_visible()


def test_a_time_said_in_the_words_is_kept_for_the_whole_case(page: Page, address: str) -> None:
    choose_site(page, address, SMALL)
    say(page, "automatic command ignored, switch used 12 min ago")
    find_causes(page)

    expect(page.get_by_text("Automatic works again at")).to_be_visible()


def test_a_slow_answer_shows_that_work_goes_on(page: Page, address: str) -> None:
    choose_site(page, address, SMALL)
    held: list[Route] = []
    page.route("**/v1/diagnoses", lambda route: held.append(route))
    with page.expect_request("**/v1/diagnoses"):
        say(page, "actuator runs wrong way")

    expect(page.get_by_role("status").filter(has_text="Working on it")).to_be_visible()
    held[0].continue_()
    expect(heading(page)).to_have_text("Is this what you mean?")
    expect(page.get_by_text("Working on it")).to_have_count(0)


def test_a_link_to_a_site_opens_it(page: Page, address: str) -> None:
    page.goto(f"{address}/?site=small")

    expect(heading(page)).to_have_text("What is wrong?")
    expect(page.locator("[data-place]")).to_contain_text(SMALL)


def test_a_link_to_a_site_that_is_not_here_says_so_and_offers_the_others(page: Page, address: str) -> None:
    page.goto(f"{address}/?site=nowhere")

    expect(page.get_by_role("alert")).to_contain_text("a site that is not here")
    expect(page.get_by_role("button", name=re.compile(f"^{SMALL}"))).to_be_visible()


def test_focus_moves_to_the_heading_of_each_new_step(page: Page, address: str) -> None:
    choose_site(page, address, SMALL)
    say(page, "actuator runs wrong way")
    find_causes(page)

    expect(heading(page)).to_be_focused()


def test_the_keyboard_alone_reaches_the_causes(page: Page, address: str) -> None:
    page.goto(address)
    page.get_by_role("button", name=re.compile(f"^{SMALL}")).focus()
    page.keyboard.press("Enter")
    page.get_by_label("In your own words").focus()
    page.keyboard.type("actuator runs wrong way")
    page.keyboard.press("Enter")
    page.get_by_role("button", name="Yes, find the cause").focus()
    page.keyboard.press("Enter")

    expect(heading(page)).to_have_text("Likely causes")


@pytest.mark.parametrize(("width", "height", "text_size"), [(320, 568, 1), (390, 844, 1), (320, 568, 2)])
def test_no_step_scrolls_sideways_and_each_target_fits_a_thumb(
    page: Page, address: str, knowledge: Knowledge, width: int, height: int, text_size: int
) -> None:
    page.set_viewport_size({"width": width, "height": height})
    faults: list[tuple[str, int, list[str]]] = []

    def look() -> None:
        page.evaluate(f"document.documentElement.style.fontSize = '{text_size * 112.5}%'")
        if overflow_px(page) > 0 or small_targets(page):
            faults.append((heading(page).inner_text(), overflow_px(page), small_targets(page)))

    choose_site(page, address, MEDIUM)
    look()
    press(page, "Choose from the list")
    expect(heading(page)).to_have_text("Choose what you see")
    look()
    press(page, "Back")
    say(page, "actuator runs wrong way")
    expect(heading(page)).to_have_text("Is this what you mean?")
    unfold(page, "Last moved by hand")
    look()
    find_causes(page)
    unfold(page, "Why")
    unfold(page, "What this stands on")
    look()
    answer_truthfully(page, knowledge, CORES_EXCHANGED, UNTIL_SURE)
    look()
    press(page, "Check more first")
    expect(page.locator("[data-check]")).to_be_visible()
    look()

    assert faults == []


def test_the_first_load_weighs_little(page: Page, context: BrowserContext, address: str) -> None:
    """All that comes over the line until the page is usable, compressed as it is sent, headers included."""
    wire = context.new_cdp_session(page)
    wire.send("Network.enable")
    sizes: list[float] = []
    wire.on("Network.loadingFinished", lambda it: sizes.append(it["encodedDataLength"]))
    page.goto(address)
    expect(heading(page)).to_be_visible()
    weight = sum(sizes)
    print(f"first load: {weight / 1000:.1f} kB in {len(sizes)} answers")

    assert 0 < weight < 120_000


def test_every_file_of_the_page_is_short_and_free_of_inline_script_and_style() -> None:
    folder = Path(__file__).parents[2] / "api" / "page"
    markup = (folder / "index.html").read_text(encoding="utf-8")
    texts = [it for it in folder.rglob("*.*") if it.suffix != ".png"]
    modules = [it for it in texts if it.parent.name != "languages"]  # which hold one line a text
    long = [it.name for it in modules if len(it.read_text(encoding="utf-8").splitlines()) > 300]

    assert long == []
    assert not re.search(r"<script(?![^>]*src=)|<style|\sstyle=|\son\w+=", markup)
