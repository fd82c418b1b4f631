"""Go through every screen and state of the phone page, whatever its language."""

from __future__ import annotations

import re
from collections.abc import Iterator

from playwright.sync_api import BrowserContext, Page, expect

SMALL = "Larkmoor"
SAID = "the left window wont shut, others fine, switch used 12 min ago"
FIRST_FOLDS = 3
MOST_CHECKS = 6


def tour(page: Page, context: BrowserContext, address: str) -> Iterator[str]:
    """Yield the name of each screen and state once it is shown; without a signal at the end."""
    yield from _to_symptoms(page, address)
    page.locator(".actions a").first.tap()
    yield from _checks(page)
    page.goto(f"{address}/#/list")
    page.locator("#search").fill("window")
    yield "list searched"
    page.goto(f"{address}/#/kept")
    page.locator("main li").filter(has_text=SMALL).wait_for(timeout=60_000)
    yield "kept"
    yield from _without_signal(page, context, address)


def _to_symptoms(page: Page, address: str) -> Iterator[str]:
    page.goto(address)
    expect(page.get_by_role("button", name=re.compile(f"^{SMALL}"))).to_be_visible()
    yield "first use"
    page.locator("summary").first.tap()
    yield "another time"
    page.get_by_role("button", name=re.compile(f"^{SMALL}")).tap()
    page.locator("#words").wait_for()
    yield "words"
    press_main(page)
    page.get_by_role("alert").wait_for()
    yield "no words yet"
    page.locator("#words").fill("what will the weather be tomorrow")
    press_main(page)
    page.locator("main q").wait_for()
    yield "not understood"
    page.goto(f"{address}/#/symptom")
    page.locator("#words").fill(SAID)
    press_main(page)
    page.locator(".chip").first.wait_for()
    yield "understood"
    page.locator(".chip").first.tap()
    page.locator(".chip[aria-pressed='false']").wait_for()
    yield "left out"
    press_main(page)
    page.locator(".cause").first.wait_for()
    page.locator("[data-plan] h2").wait_for()
    yield "causes with the best step"
    for fold in page.locator("summary:visible").all()[:FIRST_FOLDS]:
        fold.tap()
    yield "causes with reasons"
    for fold in page.locator("main > details > summary").all():
        fold.tap()
    page.locator("#why-not").wait_for()
    yield "causes with all unfolded"


def _checks(page: Page) -> Iterator[str]:
    """Answer six checks, or until a repair is shown, and prove it."""
    for count in range(MOST_CHECKS):
        page.locator("main:not([aria-busy])").wait_for()
        if page.locator("[data-check]").count() == 0 and page.locator("#verdict").count() == 0:
            yield f"cautions {count}"
            page.locator("#read").tap()
        page.locator("[data-check]").or_(page.locator("#verdict")).first.wait_for()
        yield f"check or repair {count}"
        if page.locator("#verdict").count():
            page.locator("#verdict .main").tap()
            page.locator("main h1").wait_for()
            yield "proved"
            return
        before = page.url
        page.locator("#answers button").first.tap()
        expect(page).not_to_have_url(before)


def _without_signal(page: Page, context: BrowserContext, address: str) -> Iterator[str]:
    context.set_offline(True)
    page.goto(f"{address}/#/symptom")
    page.locator("#words").fill("something else")
    press_main(page)
    page.locator("[data-band] .sign").wait_for()
    page.locator("#search").wait_for()
    yield "no signal, words looked up"
    page.goto(f"{address}/#/kept")
    page.locator("main h2").first.wait_for()
    yield "kept without a signal"


def press_main(page: Page) -> None:
    """Tap the main action of the screen."""
    page.locator(".actions .main:visible").first.tap()
