"""Use the phone page as a technician does: tap, type, read."""

from __future__ import annotations

import re
from collections.abc import Mapping

import httpx2
from playwright.sync_api import Locator, Page, expect

from knowledge.load import Knowledge

READ = "I have read this and will follow it"
LEAST_TARGET_PX = 48
SHARE_OF_CHOICE = {"always": 5, "usually": 4, "often": 3, "sometimes": 2, "seldom": 1, "never": 0}


def heading(page: Page) -> Locator:
    """Return the heading of the screen that is shown."""
    return page.get_by_role("heading", level=1)


def press(page: Page, name: str) -> None:
    """Tap the button or link of this name."""
    page.get_by_role("button", name=name).or_(page.get_by_role("link", name=name)).first.tap()


def unfold(page: Page, title: str) -> None:
    """Open what unfolds under this title."""
    page.locator("summary:visible").filter(has_text=title).first.tap()


def choose_site(page: Page, address: str, name: str) -> None:
    """Open the page and choose the site whose name begins so."""
    page.goto(address)
    page.get_by_role("button", name=re.compile(f"^{name}")).tap()
    expect(heading(page)).to_have_text("What is wrong?")


def say(page: Page, text: str) -> None:
    """Type what is wrong and go on."""
    page.get_by_label("In your own words").fill(text)
    press(page, "Go on")


def measured_check(address: str, site: str = "small") -> tuple[str, str, str]:
    """Return words that lead to a dangerous measurement on the site, the check's name in the address, and its unit."""
    for symptom in httpx2.get(f"{address}/v1/symptoms").json()["symptoms"]:
        asked = {"site": site, "text": symptom["name"]}
        for it in httpx2.post(f"{address}/v1/diagnoses", json=asked).json()["next"]:
            if it["unit"] in ("A", "V") and it["competence"] == "skilled" and it["cautions"]:
                return symptom["name"], it["check"] + (f"%40{it['part']}" if it["part"] else ""), it["unit"]
    raise AssertionError("nothing dangerous is measured on the site")


def find_causes(page: Page) -> None:
    """Confirm what was understood and wait for the causes."""
    press(page, "Yes, find the cause")
    expect(heading(page)).to_have_text("Likely causes")


def leading_cause(page: Page) -> str:
    """Return the name of the cause that the screen shows first."""
    return page.locator(".cause h2").first.inner_text()


def read_cautions(page: Page) -> None:
    """Say that the cautions were read, where the step is shown only then."""
    page.locator("main:not([aria-busy])").wait_for()
    page.locator("[data-check]").or_(page.get_by_role("button", name=READ)).or_(
        page.get_by_role("button", name="Proved")
    ).first.wait_for()
    if page.get_by_role("button", name=READ).count():
        page.get_by_role("button", name=READ).tap()
        page.get_by_role("button", name=READ).wait_for(state="detached")


def next_check(page: Page) -> str:
    """Go from the causes to the next check, read its cautions and return its name."""
    press(page, "Next check")
    expect(heading(page)).not_to_have_text("Likely causes")
    read_cautions(page)
    return heading(page).inner_text()


def answer(page: Page, outcome: str) -> None:
    """Tap the answer with this outcome and wait until it was taken."""
    read_cautions(page)
    before = page.url
    page.locator(f"[data-check] button[value='{outcome}']").tap()
    page.wait_for_url(lambda url: url != before)
    page.locator("main:not([aria-busy])").wait_for()


def answer_anything(page: Page) -> str:
    """Give the second of the answers offered, whatever it is; return its id."""
    read_cautions(page)
    outcome = page.locator("[data-check] #answers button").nth(1).get_attribute("value") or ""
    answer(page, outcome)
    return outcome


def truthful(knowledge: Knowledge, check: str, truth: Mapping[str, str]) -> str:
    """Return what the check shows: what the true cause does to it, else what a healthy installation shows."""
    if check in truth:
        return truth[check]
    return max(knowledge.checks[check].outcomes, key=lambda it: SHARE_OF_CHOICE[it.healthy]).id


def answer_truthfully(page: Page, knowledge: Knowledge, truth: Mapping[str, str], most: int) -> int:
    """Answer the checks in turn until a repair is offered, at most so many; return how many it took."""
    press(page, "Next check")
    for given in range(most):
        read_cautions(page)
        page.locator("[data-check]").or_(page.get_by_role("button", name="Proved")).first.wait_for()
        if page.get_by_role("button", name="Proved").count():
            return given
        check = page.locator("[data-check]").get_attribute("data-check") or ""
        answer(page, truthful(knowledge, check, truth))
    return most


def see_causes(page: Page) -> None:
    """Go from a check or a repair to the causes."""
    page.get_by_role("link", name="See causes").tap()
    expect(heading(page)).to_have_text("Likely causes")


def overflow_px(page: Page) -> int:
    """Return by how much the page is wider than the screen."""
    width: int = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
    return width


def small_targets(page: Page) -> list[str]:
    """Return what can be pressed on this screen but is lower than a gloved thumb needs."""
    found: list[str] = page.evaluate(
        """(least) => [...document.querySelectorAll("main button, main a, summary, .choice, main select, main input")]
        .filter((it) => it.checkVisibility() && !it.closest(".choice input"))
        .filter((it) => !(it.matches("input") && it.closest(".choice")))
        .filter((it) => it.getBoundingClientRect().height < least - 0.5)
        .map((it) => it.textContent || it.id)""",
        LEAST_TARGET_PX,
    )
    return found
