"""Draw the icons a phone wants as pixels from the page's own drawing: `python -m tests.page.draw_icons`."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import sync_playwright

from tests.browser import ARGUMENTS
from tests.chromium import find_chromium

PAGE = Path(__file__).parents[2] / "api" / "page"
SIZES = {
    "icon-180.png": (180, True),
    "icon-192.png": (192, False),
    "icon-512.png": (512, False),
    "icon-maskable-512.png": (512, True),
}
"""File name, side in pixels, and whether the ground fills the corners, which the phone then rounds itself."""


def main() -> None:
    """Write the icons beside the drawing."""
    drawing = (PAGE / "icon.svg").read_text(encoding="utf-8")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=find_chromium(), args=[*ARGUMENTS])
        for name, (side, is_filled) in SIZES.items():
            page = browser.new_page(viewport={"width": side, "height": side})
            shape = drawing.replace('rx="18"', 'rx="0"') if is_filled else drawing
            sized = shape.replace("<svg ", f'<svg width="{side}" height="{side}" style="display:block" ', 1)
            page.set_content(f"<body style='margin:0;background:none'>{sized}</body>")
            page.screenshot(path=PAGE / name, omit_background=True)
            page.close()
        browser.close()


if __name__ == "__main__":
    main()
