"""Browser fixtures: the system's Chromium, shaped like a phone."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from api import system_packages
from tests.chromium import find_chromium, missing_message

if TYPE_CHECKING:
    from playwright.sync_api import Playwright

SCREEN = {"width": 390, "height": 844}
# No sandbox: Chromium refuses to start with one as root. The rest keeps it off the network.
ARGUMENTS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, Any]) -> dict[str, Any]:
    """Start the system's Chromium; without one skip, or fail in CI."""
    chromium = find_chromium()
    if chromium is None:
        (pytest.fail if system_packages.in_ci() else pytest.skip)(missing_message())
    return {**browser_type_launch_args, "executable_path": chromium, "args": [*ARGUMENTS]}


@pytest.fixture(scope="session")
def browser_context_args(browser_context_args: dict[str, Any], playwright: Playwright) -> dict[str, Any]:
    """Open every page as a phone of 390 by 844 points with a touch screen."""
    phone = {k: v for k, v in playwright.devices["Pixel 7"].items() if k != "default_browser_type"}
    return {**browser_context_args, **phone, "viewport": SCREEN, "screen": SCREEN, "locale": "en-GB"}
