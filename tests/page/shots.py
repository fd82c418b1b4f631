"""Take a picture of every screen and state of the phone page and of the desk, to be looked at by people.

`python -m tests.page.shots FOLDER` writes PNG files named after look and screen, and prints their names.
"""

from __future__ import annotations

import re
import sys
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import httpx2
from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser import ARGUMENTS, SCREEN
from tests.chromium import find_chromium
from tests.page.service import running_service
from tests.page.tour import SAID, tour

WIDE = {"width": 1280, "height": 800}
ZOOMED = {"width": 640, "height": 400}
"""What the wide screen leaves when the browser enlarges all to 200 %."""

LARGE = "document.documentElement.style.fontSize = '225%'"
"""Twice the size of the page's own type."""

LOOKS: Mapping[str, Mapping[str, Any]] = {
    "light": {"color_scheme": "light", "locale": "en-GB"},
    "dark": {"color_scheme": "dark", "locale": "en-GB"},
    "large": {"color_scheme": "light", "locale": "de-DE"},
}


def main() -> None:
    """Write the pictures into the folder that is named."""
    folder = Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as place, running_service(Path(place)) as address, sync_playwright() as it:
        browser = it.chromium.launch(executable_path=find_chromium(), args=[*ARGUMENTS])
        for look, settings in LOOKS.items():
            for file in (
                *of_phone(browser, address, look, settings, folder),
                *of_desk(browser, address, look, settings, folder),
            ):
                print(file)
        browser.close()


def of_phone(browser: Browser, address: str, look: str, settings: Mapping[str, Any], folder: Path) -> Iterator[Path]:
    """Yield the pictures of the phone page in one look, whole pages as a phone of 390 by 844 points scrolls them."""
    context = browser.new_context(viewport=SCREEN, screen=SCREEN, has_touch=True, is_mobile=True, **settings)  # type: ignore[arg-type]
    page = context.new_page()
    for count, name in enumerate(tour(page, context, address)):
        yield shoot(page, folder / f"phone-{look}-{count:02}-{_plain(name)}.png", large=look == "large")
    context.close()


def of_desk(browser: Browser, address: str, look: str, settings: Mapping[str, Any], folder: Path) -> Iterator[Path]:
    """Yield the pictures of the desk in one look: no case open, and a case with a caller."""
    context = browser.new_context(viewport=ZOOMED if look == "large" else WIDE, **settings)  # type: ignore[arg-type]
    page = context.new_page()
    page.goto(f"{address}/desk/")
    page.locator("[data-cases] summary").wait_for()
    yield shoot(page, folder / f"desk-{look}-0-list.png", large=False)
    begun = httpx2.post(f"{address}/v1/cases", json={"site": "small", "text": SAID}).json()["case"]["id"]
    page.goto(f"{address}/desk/#{begun}")
    page.reload()
    page.locator("[data-plan]").wait_for()
    yield shoot(page, folder / f"desk-{look}-1-case.png", large=False)
    page.locator("[data-now] .choice").first.click()
    page.locator("[data-now] .choice input:checked").first.wait_for()
    page.locator("[data-cases] summary").click()
    yield shoot(page, folder / f"desk-{look}-2-caller.png", large=False)
    context.close()


def shoot(page: Page, file: Path, large: bool) -> Path:
    """Write what the page shows now, once nothing moves any more."""
    page.locator("main:not([aria-busy])").wait_for()
    if large:
        page.evaluate(LARGE)
    size = page.viewport_size or SCREEN
    height = page.evaluate("document.documentElement.scrollHeight")
    page.set_viewport_size(
        {"width": size["width"], "height": max(size["height"], height)}
    )  # bars at the end, not half way
    page.screenshot(path=file, animations="disabled")
    page.set_viewport_size({"width": size["width"], "height": size["height"]})
    return file


def _plain(name: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", name)


if __name__ == "__main__":
    main()
