"""The phone page for everybody: axe-core, contrast in the sun, large text, languages, on every screen and state."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.page.looking import axe_faults, faint_texts
from tests.page.service import running_service
from tests.page.tour import SMALL, press_main, tour
from tests.page.walk import READ, heading, measured_check, overflow_px, small_targets

BRIGHT_SUN = 7.0
"""To one: WCAG 2.2, success criterion 1.4.6 (contrast, enhanced)."""

LOOKS: dict[str, dict[str, Any]] = {
    "light": {"color_scheme": "light", "locale": "en-GB"},
    "dark, German": {"color_scheme": "dark", "locale": "de-DE"},
    "large text, Danish": {"color_scheme": "light", "locale": "da-DK"},
    "narrow, more contrast": {"color_scheme": "dark", "contrast": "more", "viewport": {"width": 320, "height": 568}},
}


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with running_service(tmp_path_factory.mktemp("access")) as address:
        yield address


@pytest.mark.parametrize("look", LOOKS)
def test_every_screen_and_state_is_for_everybody(
    browser: Browser, browser_context_args: dict[str, Any], address: str, look: str
) -> None:
    """Outside checks: axe-core's WCAG 2.2 AA rules; contrast by the formula of WCAG 2.2."""
    context = browser.new_context(**{**browser_context_args, **LOOKS[look]})
    page = context.new_page()
    faults: dict[str, list[str]] = {}
    for name in tour(page, context, address):
        page.locator("main:not([aria-busy])").wait_for()
        if look.startswith("large"):
            page.evaluate("document.documentElement.style.fontSize = '225%'")
        found = axe_faults(page) + faint_texts(page, BRIGHT_SUN) + small_targets(page)
        found += [f"{overflow_px(page)} px too wide"] if overflow_px(page) > 0 else []
        if found:
            faults[name] = found
    context.close()

    assert faults == {}


def to_causes(page: Page, words: str) -> None:
    """Say what is wrong and go on to the causes."""
    page.locator("#words").fill(words)
    press_main(page)
    expect(heading(page)).to_have_text("Is this what you mean?")
    press_main(page)
    page.locator(".cause").first.wait_for()


@pytest.mark.parametrize(("language", "title"), [("Deutsch", "Wo sind Sie?"), ("Dansk", "Hvor er du?")])
def test_the_page_speaks_the_language_chosen_and_says_what_stays_english(
    page: Page, address: str, language: str, title: str
) -> None:
    page.goto(address)
    page.get_by_role("button", name=language).tap()

    expect(heading(page)).to_have_text(title)
    assert page.evaluate("document.documentElement.lang") in ("de", "da")
    page.reload()
    expect(heading(page)).to_have_text(title)


def test_the_answers_come_in_the_language_of_the_page(page: Page, address: str) -> None:
    page.goto(address)
    page.get_by_role("button", name="Deutsch").tap()
    page.get_by_role("button", name=re.compile(f"^{SMALL}")).tap()
    page.locator("#words").fill("actuator runs wrong way")
    press_main(page)

    expect(page.locator("main")).to_contain_text("Läuft")


def test_dangerous_cautions_are_acknowledged_once_in_a_case(page: Page, address: str) -> None:
    page.goto(address)
    page.get_by_role("button", name=re.compile(f"^{SMALL}")).tap()
    words, check, _ = measured_check(address)
    to_causes(page, words)
    page.goto(f"{address}/#/check/0/{check}")

    expect(page.locator("[data-check]")).to_have_count(0)
    page.get_by_role("button", name=READ).tap()
    expect(page.locator("[data-check]")).to_be_visible()
    page.reload()
    expect(page.locator("[data-check]")).to_be_visible()


def test_it_rings_when_automatic_works_again(page: Page, address: str) -> None:
    page.clock.install()
    page.goto(address)
    page.get_by_role("button", name=re.compile(f"^{SMALL}")).tap()
    to_causes(page, "automatic command ignored, switch used 12 min ago")
    page.get_by_role("button", name=re.compile("^Ring in 1[78] min$")).tap()
    expect(page.get_by_text("It rings then, as long as this page is open.")).to_be_visible()
    expect(page.locator("[data-full]")).to_be_empty()
    page.clock.fast_forward("18:30")

    expect(page.locator("[data-full]")).to_contain_text("Automatic works again at")


def test_what_was_read_wrong_is_left_out_with_one_tap_and_taken_up_with_another(page: Page, address: str) -> None:
    page.goto(address)
    page.get_by_role("button", name=re.compile(f"^{SMALL}")).tap()
    page.locator("#words").fill("actuator runs wrong way, others fine")
    press_main(page)
    chip = page.locator(".chip").filter(has_text="others fine")
    expect(page.get_by_label("The others work")).to_be_checked()
    chip.tap()
    expect(page.get_by_label("The others work")).to_have_count(0)
    chip.tap()

    expect(page.get_by_label("The others work")).to_be_checked()


def test_a_note_and_a_hand_over_reach_the_case(page: Page, address: str) -> None:
    page.goto(address)
    page.get_by_role("button", name=re.compile(f"^{SMALL}")).tap()
    to_causes(page, "actuator runs wrong way")
    page.locator("summary").filter(has_text="Note, photo, hand over").tap()
    page.get_by_label("Note").fill("The key is at the gate")
    page.get_by_role("button", name="Save the note").tap()
    page.get_by_label("Photo").set_input_files({"name": "box.png", "mimeType": "image/png", "buffer": ONE_PIXEL})
    expect(page.get_by_text("The photo is kept with the case.")).to_be_visible()
    page.get_by_role("button", name="Hand over to the helpdesk").tap()
    expect(page.get_by_text("Handed over.")).to_be_visible()
    expect(page.locator("[data-band] .sign")).to_have_count(0)

    case = page.request.get(f"{address}/v1/cases").json()["cases"][0]["id"]
    events = page.request.get(f"{address}/v1/cases/{case}/events").json()["events"]
    assert [it["kind"] for it in events][-3:] == ["note", "attachment", "hand-over"]
    assert "The key is at the gate" in events[-1]["data"]["note"]


ONE_PIXEL = bytes.fromhex(
    "89504e470d0a1a0a0000000d4948445200000001000000010802000000907753de0000000c49444154"
    "78da6360f8cf000001010100189dd98d0000000049454e44ae426082"
)


def test_the_page_is_usable_soon_on_a_slow_line_and_a_slow_phone(
    page: Page, context: BrowserContext, address: str
) -> None:
    """Slow 4G as Lighthouse has it: 150 ms round trips, 1.6 Mbit/s down, 0.75 up; the processor four times slower."""
    wire = context.new_cdp_session(page)
    wire.send("Network.enable")
    slow = {"latency": 150, "downloadThroughput": 1.6e6 / 8, "uploadThroughput": 0.75e6 / 8, "offline": False}
    wire.send("Network.emulateNetworkConditions", slow)
    wire.send("Emulation.setCPUThrottlingRate", {"rate": 4})
    page.goto(address, wait_until="commit")
    page.get_by_role("button", name=re.compile(f"^{SMALL}")).wait_for()
    usable = page.evaluate("performance.now()")
    print(f"usable after {usable / 1000:.2f} s on slow 4G with a processor four times slower")

    assert 2 < page.evaluate("performance.getEntriesByType('resource').length") < 10
