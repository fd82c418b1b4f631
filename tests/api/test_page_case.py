"""What the phone page offers around a case: doubt, who is there, the plan, other readings, paper, speech, nearness."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import httpx2
import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.page.service import running_service
from tests.page.walk import (
    answer,
    choose_site,
    find_causes,
    heading,
    measured_check,
    next_check,
    press,
    read_cautions,
    say,
    see_causes,
    unfold,
)

SMALL = "Larkmoor"
WORDS = "actuator runs wrong way"


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with running_service(tmp_path_factory.mktemp("case")) as address:
        yield address


def to_causes(page: Page, address: str, words: str = WORDS) -> None:
    choose_site(page, address, SMALL)
    say(page, words)
    find_causes(page)


def latest(address: str) -> dict[str, Any]:
    """Return the case that was opened last."""
    case = httpx2.get(f"{address}/v1/cases").json()["cases"][0]["id"]
    found: dict[str, Any] = httpx2.get(f"{address}/v1/cases/{case}").json()
    return found


def sent(page: Page) -> None:
    """Wait until nothing waits to be sent."""
    expect(page.locator("[data-band] .sign")).to_have_count(0, timeout=20_000)


def lead_percent(page: Page) -> float:
    text = page.locator(".cause .odds").first.inner_text()
    return float(re.findall(r"(\d+)\s*%", text)[0])


def test_an_answer_that_is_only_thought_counts_less_and_is_kept_so(page: Page, address: str) -> None:
    def lead_after(is_sure: bool) -> float:
        to_causes(page, address)
        next_check(page)
        if not is_sure:
            page.get_by_label("I only think so").check()
        answer(page, page.locator("#answers button").first.get_attribute("value") or "")
        page.goto(f"{address}/#/causes/1")
        expect(heading(page)).to_have_text("Likely causes")
        return lead_percent(page)

    sure, doubtful = lead_after(is_sure=True), lead_after(is_sure=False)

    assert sure != doubtful
    unfold(page, "Your answers (1)")
    expect(page.locator("details[open]").filter(has_text="Your answers")).to_contain_text("(think so)")
    sent(page)
    assert latest(address)["answers"][0]["certainty"] == "think-so"


def test_who_is_there_decides_what_is_offered_and_is_told_to_the_case(page: Page, address: str) -> None:
    to_causes(page, address, "output fuse blows")
    unfold(page, "Who is there: everybody needed")
    page.get_by_label("Only a caretaker or user is there, guided by telephone").check()
    press(page, "Use this")
    expect(
        page.locator("summary").filter(has_text="Who is there: a caretaker or user on the telephone")
    ).to_be_visible()
    sent(page)

    assert latest(address)["remote_mode"] is True
    offered = httpx2.get(f"{address}/v1/cases/{latest(address)['id']}/diagnosis").json()["next"]
    if offered:
        next_check(page)
        assert heading(page).inner_text() == offered[0]["name"]
    assert {it["competence"] for it in offered} <= {"ordinary"}


def test_the_best_step_now_is_shown_with_the_minutes_to_a_proved_repair(page: Page, address: str) -> None:
    to_causes(page, address)

    plan = page.locator("[data-plan]")
    expect(plan).to_contain_text("Best step now", timeout=20_000)
    expect(plan).to_contain_text(re.compile(r"about .* to a proved repair"))


def test_the_one_main_button_leads_to_the_best_step_and_the_other_check_is_a_line_beside_it(
    page: Page, address: str
) -> None:
    for words in (WORDS, "window does not close"):
        with page.expect_response(
            lambda it: it.url.endswith("/v1/diagnoses") and '"plan":true' in (it.request.post_data or "")
        ) as plan:
            to_causes(page, address, words)
        expect(page.locator("[data-plan] h2")).to_be_visible(timeout=20_000)
        step = plan.value.json()["plan"]["step"]
        first = page.evaluate(
            "async (asked) => (await (await fetch('/v1/diagnoses', asked)).json()).next[0].check",
            {"method": "POST", "body": plan.value.request.post_data, "headers": {"Content-Type": "application/json"}},
        )

        expect(page.locator(".actions .main")).to_have_count(1)
        expect(page.locator(".actions .main")).to_contain_text(step["name"])
        expect(page.get_by_role("link", name=re.compile("^Or: "))).to_have_count(int(first != step["id"]))
        press(page, "Next check")
        expect(heading(page)).to_have_text(step["name"])


def test_a_short_check_shows_its_question_and_all_its_answers_on_one_screen(page: Page, address: str) -> None:
    to_causes(page, address, "window does not close")
    page.goto(f"{address}/#/check/0/ask-since-when")
    expect(page.locator("#question")).to_be_visible()
    sent(page)
    bar = page.locator(".actions").bounding_box()
    last = page.locator("#answers button").last.bounding_box()

    assert bar is not None
    assert last is not None
    assert last["y"] + last["height"] <= bar["y"]


def test_a_second_tap_on_answer_meets_nothing(page: Page, address: str) -> None:
    words, check, _ = measured_check(address)
    to_causes(page, address, words)
    page.goto(f"{address}/#/check/0/{check}")
    read_cautions(page)
    down = page.get_by_role("button", name="Answer", exact=True)
    place = down.bounding_box()
    assert place is not None
    middle = (place["x"] + place["width"] / 2, place["y"] + place["height"] / 2)
    page.touchscreen.tap(*middle)
    expect(down).to_be_hidden()
    before = page.url
    page.touchscreen.tap(*middle)
    page.wait_for_timeout(200)

    assert page.url == before


def test_reasons_name_their_kind_once_and_stand_on_nothing_that_is_only_a_name(page: Page, address: str) -> None:
    to_causes(page, address, "the left window wont shut, others fine, switch used 12 min ago")
    page.locator(".cause summary").first.tap()
    reasons = page.locator(".cause details[open] > .inside").first
    reasons.locator("summary").first.tap()

    expect(reasons.get_by_text("Why it is suspected:")).to_have_count(1)
    facts = reasons.locator("details[open] li").all_inner_texts()
    assert facts
    assert [it for it in facts if ":" not in it] == []


def test_another_reading_of_a_chip_is_taken_with_one_tap(page: Page, address: str) -> None:
    choose_site(page, address, SMALL)
    say(page, "the left window wont shut, others fine")
    expect(page.locator(".chip").first).to_be_visible()
    other = page.locator(".others-meant button").first
    meant = other.inner_text()
    other.tap()

    expect(page.locator("main:not([aria-busy]) .chip").filter(has_text=meant).first).to_be_visible()


def test_the_summary_goes_on_paper_alone(page: Page, address: str) -> None:
    page.add_init_script("window.print = () => { window.printed = true; };")  # the print dialogue waits for a person
    to_causes(page, address)
    unfold(page, "Note, photo, hand over")
    press(page, "Print or save as PDF")
    page.wait_for_function("window.printed === true")
    page.emulate_media(media="print")

    expect(page.locator(".paper")).to_be_visible()
    expect(page.locator(".paper")).to_contain_text(WORDS)
    expect(page.locator("main")).to_be_hidden()
    assert page.pdf().startswith(b"%PDF")


def test_dictation_says_where_the_sound_may_go_and_leaves_typing_as_it_was(page: Page, address: str) -> None:
    choose_site(page, address, SMALL)
    if not page.evaluate("'SpeechRecognition' in window || 'webkitSpeechRecognition' in window"):
        expect(page.get_by_role("button", name="Dictate")).to_have_count(0)
        return
    expect(page.get_by_text("the browser may send the sound to its maker")).to_be_visible()
    page.get_by_role("button", name="Dictate").tap()
    page.wait_for_timeout(1000)  # without a microphone some browsers stop by themselves, others go on listening
    page.get_by_role("button", name=re.compile("Stop listening|Dictate")).tap()
    page.get_by_label("In your own words").fill(WORDS)
    press(page, "Go on")

    expect(heading(page)).to_have_text("Is this what you mean?")


def test_dictation_is_not_offered_where_the_browser_cannot_listen(page: Page, address: str) -> None:
    page.add_init_script("delete window.webkitSpeechRecognition; delete window.SpeechRecognition;")
    choose_site(page, address, SMALL)

    expect(page.get_by_role("button", name="Dictate")).to_have_count(0)


def test_near_sites_come_first_and_the_place_of_the_phone_is_asked_only_at_a_tap(
    page: Page, context: BrowserContext, address: str
) -> None:
    for name, latitude in (("far", 52.0), ("near", 51.001)):
        site = {"name": f"Site {name}", "position": {"latitude": latitude, "longitude": 0.0}}
        assert httpx2.put(f"{address}/v1/sites/{name}", json=site).status_code in (200, 201)
    asked: list[str] = []
    page.on("request", lambda it: asked.append(it.url) if "positions" in it.url else None)
    context.grant_permissions(["geolocation"])
    context.set_geolocation({"latitude": 51.0, "longitude": 0.0})
    page.goto(address)
    expect(page.locator("main .row").first).to_contain_text("Site far")
    assert asked == []
    press(page, "Nearest first")

    expect(page.locator("main .row").first).to_contain_text("Site near")
    expect(page.locator("main .row").first).to_contain_text("100 m away")
    expect(page.locator("main .row").nth(1)).to_contain_text("111 km away")
    assert [it.rsplit("/", 1)[-1] for it in asked] == ["positions"]


def test_a_phone_that_does_not_say_where_it_is_keeps_the_list(
    page: Page, context: BrowserContext, address: str
) -> None:
    context.clear_permissions()
    page.goto(address)
    press(page, "Nearest first")

    expect(page.get_by_text("This phone does not say where it is.")).to_be_visible(timeout=20_000)
    expect(page.get_by_role("button", name=re.compile(f"^{SMALL}"))).to_be_visible()


def test_the_rest_of_the_page_is_fetched_again_after_the_line_broke(page: Page, address: str) -> None:
    page.route("**/rest.js*", lambda route: route.abort())
    page.goto(address)
    page.get_by_role("button", name=re.compile(f"^{SMALL}")).tap()
    expect(page.get_by_role("alert")).to_contain_text("Try again when there is signal")
    page.unroute("**/rest.js*")
    press(page, "Try again")

    expect(heading(page)).to_have_text("What is wrong?")
    page.goto(f"{address}/#/kept")
    kept = page.locator("main li").filter(has_text=SMALL)
    expect(kept).to_be_visible(timeout=60_000)  # what goes on beside the screens has caught up


def test_the_next_answer_needs_no_line_once_the_case_is_held(page: Page, address: str) -> None:
    with page.expect_response("**/v1/pack/case"):
        to_causes(page, address)
    asked: list[str] = []
    page.wait_for_timeout(500)
    page.on("request", lambda it: asked.append(it.url) if it.url.endswith("/v1/diagnoses") else None)
    press(page, "Next check")
    read_cautions(page)
    answer(page, "not-sure")
    assert asked == []

    see_causes(page)
    sent(page)
    assert [it["outcome"] for it in latest(address)["answers"]] == ["not-sure"]
