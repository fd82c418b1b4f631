"""Measure the phone page: weight, time to usable on a slow line, and how soon an answer leads on without a signal.

`python -m tests.page.measure` prints a table; it needs Chromium.
"""

from __future__ import annotations

import re
import statistics
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, CDPSession, Page, expect, sync_playwright

from tests.browser import ARGUMENTS, SCREEN
from tests.chromium import find_chromium
from tests.page.service import running_service
from tests.page.walk import choose_site, find_causes, next_check, press, read_cautions

SLOW_LINE = {"latency": 150, "downloadThroughput": 1.6e6 / 8, "uploadThroughput": 0.75e6 / 8, "offline": False}
"""Slow 4G as Lighthouse has it."""

SLOWER = 4
LOADS = 5
ANSWERS = 5
SITE_SHOWN = """
new MutationObserver((_, it) => {
  if (!document.querySelector("main button.row")) return;
  it.disconnect();
  requestAnimationFrame(() => setTimeout(() => performance.mark("usable")));
}).observe(document, { childList: true, subtree: true });
"""
"""Marks when the sites to choose from are painted, without the browser driver's own search for them."""

USABLE = """new Promise((done) => new PerformanceObserver((it) => done(it.getEntries()[0].startTime))
  .observe({ type: "mark", buffered: true }))"""
NEXT_SCREEN = """() => new Promise((done) => {
  const old = document.querySelector("main h1");
  const start = performance.now();
  new MutationObserver((_, it) => {
    if (document.querySelector("main h1") === old) return;
    it.disconnect();
    requestAnimationFrame(() => done(performance.now() - start));
  }).observe(document.querySelector("main"), { childList: true });
  document.querySelector("[data-check] button[value='not-sure']").click();
})"""
"""Answers and gives the milliseconds until the next screen is painted."""


def main() -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as folder, running_service(Path(folder)) as address, sync_playwright() as it:
        browser = it.chromium.launch(executable_path=find_chromium(), args=[*ARGUMENTS])
        loads = [first_load(browser, address) for _ in range(LOADS)]
        weight, answers, _ = max(loads)
        usable = sorted(it[2] / 1000 for it in loads)
        print(f"first load, compressed: {weight / 1000:.1f} kB in {answers} answers")
        says = f"{statistics.median(usable):.2f} s (median; {usable[0]:.2f} to {usable[-1]:.2f})"
        print(f"usable on slow 4G with a processor {SLOWER} times slower: {says}")
        for rate, times in answer_times(browser, address).items():
            print(f"answer to next screen without a signal, processor {rate} times slower: {times:.0f} ms (median)")
        browser.close()


def first_load(browser: Browser, address: str) -> tuple[float, int, float]:
    """Return bytes over the line, answers, and milliseconds until a site can be chosen."""
    sizes: list[float] = []
    with phone(browser) as (page, wire):
        page.add_init_script(SITE_SHOWN)
        wire.send("Network.enable")
        wire.send("Network.emulateNetworkConditions", SLOW_LINE)
        wire.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        wire.on("Network.loadingFinished", lambda it: sizes.append(it["encodedDataLength"]))
        page.goto(address, wait_until="commit")
        usable = float(page.evaluate(USABLE))
        expect(page.locator("main button.row").first).to_contain_text("Hallowbeck")
        return sum(sizes), len(sizes), usable


def answer_times(browser: Browser, address: str) -> dict[int, float]:
    """Return the median milliseconds of an answer by how much slower the processor is."""
    with phone(browser) as (page, wire):
        with page.expect_response("**/v1/sites/medium/pack", timeout=120_000):
            choose_site(page, address, "Hallowbeck")
        page.wait_for_timeout(2000)
        page.context.set_offline(True)
        press(page, "Choose from the list")
        page.get_by_label("Search").fill("wrong way")
        page.get_by_role("button", name=re.compile("^It runs the wrong way")).tap()
        find_causes(page)
        next_check(page)
        return {rate: _median(page, wire, rate) for rate in (1, SLOWER)}


def _median(page: Page, wire: CDPSession, rate: int) -> float:
    wire.send("Emulation.setCPUThrottlingRate", {"rate": rate})
    times: list[float] = []
    for _ in range(ANSWERS):
        read_cautions(page)
        times.append(page.evaluate(NEXT_SCREEN))
    return statistics.median(times)


@contextmanager
def phone(browser: Browser) -> Iterator[tuple[Page, CDPSession]]:
    """Yield a page of a fresh phone and the wire to its innards."""
    settings: dict[str, Any] = {"viewport": SCREEN, "screen": SCREEN, "has_touch": True, "is_mobile": True}
    context = browser.new_context(**settings, locale="en-GB")
    page = context.new_page()
    yield page, context.new_cdp_session(page)
    context.close()


if __name__ == "__main__":
    main()
