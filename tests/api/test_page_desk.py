"""The helpdesk's view on a wide screen, and the phone of the technician on the same case."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from knowledge.load import Knowledge
from tests.page.looking import axe_faults
from tests.page.service import running_service
from tests.page.walk import answer_anything, choose_site, find_causes, next_check, say

WIDE = {"viewport": {"width": 1280, "height": 800}, "locale": "en-GB"}


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with running_service(tmp_path_factory.mktemp("desk")) as address:
        yield address


@pytest.fixture
def wide(browser: Browser) -> Iterator[BrowserContext]:
    context = browser.new_context(**WIDE)  # type: ignore[arg-type]
    yield context
    context.close()


def begin_call(desk: Page, address: str, words: str) -> None:
    desk.goto(f"{address}/desk/")
    desk.locator("summary").filter(has_text="New call").click()
    desk.get_by_label("Site").select_option("small")
    desk.get_by_label("What the caller says").fill(words)
    desk.get_by_role("button", name="Begin the case").click()
    expect(desk.get_by_role("heading", name="Causes")).to_be_visible()


def test_a_caller_is_asked_only_what_anybody_can_do_safely(
    wide: BrowserContext, address: str, knowledge: Knowledge
) -> None:
    desk = wide.new_page()
    begin_call(desk, address, "the drive of the left window is dead")
    question = desk.locator("[data-check]")

    expect(question).to_be_visible()
    check = knowledge.checks[question.get_attribute("data-check") or ""]
    assert (check.competence, list(check.hazards)) == ("ordinary", [])
    desk.get_by_label("A caller is there").uncheck()
    expect(question).to_be_visible()


def test_what_the_caller_says_goes_into_the_case_and_leads_to_the_next_question(
    wide: BrowserContext, address: str
) -> None:
    desk = wide.new_page()
    begin_call(desk, address, "actuator runs wrong way")
    first = desk.locator("[data-check] .question").inner_text()
    said = desk.locator("[data-check] [role=group] button").first.inner_text()
    desk.locator("[data-check] [role=group] button").first.click()

    expect(desk.locator("[data-check] .question")).not_to_have_text(first)
    expect(desk.locator(".talk li").last).to_contain_text("Answer")
    assert said


def test_the_desk_follows_the_phone_live_and_the_phone_sees_what_the_desk_wrote(
    page: Page, wide: BrowserContext, address: str
) -> None:
    choose_site(page, address, "Larkmoor")
    say(page, "actuator runs wrong way")
    find_causes(page)
    desk = wide.new_page()
    desk.goto(f"{address}/desk/")
    desk.get_by_role("button", name=re.compile("^actuator runs wrong way")).first.click()
    expect(desk.locator("[data-signal]")).to_have_text("Live")
    expect(desk.locator(".talk li").first).to_be_visible()
    before = desk.locator(".talk li").count()
    next_check(page)
    answer_anything(page)
    expect(desk.locator(".talk li")).to_have_count(before + 1)

    desk.get_by_label("Note").fill("Ask at the gate for the key")
    desk.get_by_role("button", name="Save the note").click()
    expect(page.locator("[data-band]")).to_contain_text("Somebody else wrote in this case")
    expect(page.locator("[data-band]")).to_contain_text("Ask at the gate for the key")


def test_what_the_desk_was_told_can_be_taken_over_on_the_phone(page: Page, wide: BrowserContext, address: str) -> None:
    choose_site(page, address, "Larkmoor")
    say(page, "actuator runs wrong way")
    find_causes(page)
    desk = wide.new_page()
    desk.goto(f"{address}/desk/")
    desk.get_by_role("button", name=re.compile("^actuator runs wrong way")).first.click()
    desk.locator("[data-check] [role=group] button").first.click()
    page.get_by_role("button", name="Take over").tap()

    page.wait_for_url("**/#/causes/1")
    expect(page.locator("summary").filter(has_text="Your answers (1)")).to_be_visible()


def test_the_desk_is_for_everybody(wide: BrowserContext, address: str) -> None:
    """Outside check: axe-core's WCAG 2.2 AA rules."""
    desk = wide.new_page()
    desk.goto(f"{address}/desk/")
    expect(desk.locator("summary").filter(has_text="New call")).to_be_visible()
    empty = axe_faults(desk)
    begin_call(desk, address, "actuator runs wrong way")
    desk.get_by_label("A caller is there").uncheck()

    assert (empty, axe_faults(desk)) == ([], [])
