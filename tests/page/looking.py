"""Look at a screen as people with other eyes, hands and ears meet it."""

from __future__ import annotations

from importlib.resources import files
from typing import Any

from playwright.sync_api import Page

TAGS = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice")
"""Rules of axe-core; `wcag22aa` brings in the size of targets, which is off otherwise."""


def axe_faults(page: Page) -> list[str]:
    """Return what axe-core finds wrong on the screen; empty when nothing is."""
    page.evaluate(files("axe_playwright_python").joinpath("axe.min.js").read_text(encoding="utf-8"))
    found: dict[str, Any] = page.evaluate(
        "(tags) => axe.run(document, { runOnly: tags, resultTypes: ['violations'] })", list(TAGS)
    )
    assert len(found["passes"]) > 10, "axe looked at nothing"
    return [f"{it['id']}: {node['html'][:120]}" for it in found["violations"] for node in it["nodes"]]


def faint_texts(page: Page, least: float) -> list[str]:
    """Return reading text whose contrast with its ground is less than so many to one."""
    found: list[str] = page.evaluate(CONTRAST, least)
    return found


CONTRAST = """(least) => {
  const channels = (colour) => colour.match(/[\\d.]+/g).map(Number);
  const light = ([r, g, b]) => [r, g, b].map((it) => it / 255)
    .map((it) => (it <= 0.04045 ? it / 12.92 : ((it + 0.055) / 1.055) ** 2.4))
    .reduce((sum, it, place) => sum + it * [0.2126, 0.7152, 0.0722][place], 0);
  const ground = (it) => {
    for (let at = it; at; at = at.parentElement) {
      const [r, g, b, a = 1] = channels(getComputedStyle(at).backgroundColor);
      if (a > 0) return [r, g, b];
    }
    return [255, 255, 255];
  };
  const texts = [...document.querySelectorAll("body *")].filter((it) => it.checkVisibility()
    && [...it.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim()));
  return texts.filter((it) => {
    const [one, other] = [light(channels(getComputedStyle(it).color)), light(ground(it))].sort((a, b) => b - a);
    return (one + 0.05) / (other + 0.05) < least;
  }).map((it) => it.textContent.trim().slice(0, 60));
}"""
