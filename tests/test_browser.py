"""The browser fixtures give a page the shape of a phone."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Page


def test_a_page_is_390_by_844_points(page: Page) -> None:
    page.set_content("<!doctype html><meta name=viewport content='width=device-width'><p>Ready</p>")

    assert page.evaluate("[window.innerWidth, window.innerHeight]") == [390, 844]


def test_a_page_is_used_by_touch(page: Page) -> None:
    page.set_content(
        "<!doctype html><meta name=viewport content='width=device-width'>"
        "<button onclick='this.textContent = \"Tapped\"'>Tap</button>"
    )

    page.get_by_role("button").tap()

    assert page.get_by_role("button").inner_text() == "Tapped"
    assert page.evaluate("matchMedia('(pointer: coarse)').matches")
