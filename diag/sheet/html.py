"""Render a proving sheet as one HTML page that prints on A4 and needs nothing from outside."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from html import escape
from pathlib import Path
from typing import Any

from diag.sheet.html_matrix import matrix_table
from diag.sheet.html_tests import tests_tables
from diag.sheet.sheet import (
    Block,
    Cautions,
    Effects,
    Facts,
    Methods,
    Picture,
    Section,
    Sentences,
    Sheet,
    Tests,
)
from diag.sheet.supply_figures import Figure

STYLE = Path(__file__).parent / "sheet.css"

TO_FILL_IN = ("Date", "Tested by, in capitals", "Meters used, with their numbers", "Received by, and signature")

PEOPLE = {
    "ordinary": "anybody who has been shown",
    "instructed": "an instructed person",
    "skilled": "a skilled person",
    "fire": "a person competent in fire systems",
}
"""Who may make a test, in words."""

HAND_BACK = (
    "Write the reading with its unit, or tick. Whatever differs from what is expected gets a note. To have the results "
    "read, type them into the results file of this sheet and hand it back to the program: a result is a reading with "
    "its unit, “ok”, or one of the outcomes of the check."
)


def sheet_page(sheet: Sheet, language: str = "en-GB") -> str:
    """Return the whole page, its style included."""
    name = escape(sheet.site)
    return "".join(
        (
            f'<!doctype html>\n<html lang="{language}"><head><meta charset="utf-8">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f"<title>Proving sheet: {name}</title>",
            *(f"<style>{it}</style>" for it in page_styles(sheet)),
            f"</head><body>\n<h1><small>Proving sheet</small>{name}</h1>\n",
            _facts(sheet.head, "head facts"),
            _fill_in(),
            f"<p>{HAND_BACK}</p>\n",
            *(_section(it) for it in sheet.sections),
            "</body></html>\n",
        )
    )


def page_styles(sheet: Sheet) -> tuple[str, str]:
    """Return the styles of the page as they stand in it: that of all sheets, and the name at the foot of each page."""
    name = "".join(it if it.isalnum() or it in " ,.()-" else f"\\{ord(it):x} " for it in sheet.site)
    foot = f'@page {{ @bottom-left {{ content: "{name}"; font: 8pt sans-serif; }} }}'
    return STYLE.read_text(encoding="utf-8"), foot


def _fill_in() -> str:
    fields = "".join(f"<span>{escape(it)}</span>" for it in TO_FILL_IN)
    return f'<div class="fill-in">{fields}</div>\n'


def _section(section: Section) -> str:
    if not section.blocks:
        return ""
    intro = f"<p>{escape(section.intro)}</p>\n" if section.intro else ""
    kind = ' class="new-page"' if any(isinstance(it, Effects) for it in section.blocks) else ""
    return f"<section{kind}><h2>{escape(section.title)}</h2>\n{intro}{''.join(_blocks(section.blocks))}</section>\n"


def _blocks(blocks: Iterable[Block]) -> Iterable[str]:
    """Yield the blocks in order; test rows that follow one another share one table."""
    together: list[Tests] = []
    for block in blocks:
        if isinstance(block, Tests):
            together.append(block)
            continue
        yield tests_tables(together)
        together = []
        yield RENDERERS[type(block)](block)
    yield tests_tables(together)


def _facts(figures: Iterable[Figure], kind: str = "facts") -> str:
    listed = "".join(f"<dt>{escape(name)}</dt><dd>{escape(amount)}</dd>" for name, amount in figures)
    return f'<dl class="{kind}">{listed}</dl>\n'


def _facts_block(it: Facts) -> str:
    return _facts(it.figures)


def _picture(it: Picture) -> str:
    notes = " ".join(it.notes)
    caption = f"<figcaption>{escape(notes)}</figcaption>" if notes else ""
    return f'<figure><div class="scroll">{it.svg}</div>{caption}</figure>\n'


def _sentences(it: Sentences) -> str:
    heading = f"<h3>{escape(it.heading)}</h3>\n" if it.heading else ""
    return heading + "".join(f"<p>{escape(said)}</p>\n" for said in it.says)


def _effects(it: Effects) -> str:
    return matrix_table(it.plan, it.matrix)


def _cautions(it: Cautions) -> str:
    said = (f"<strong>{escape(one.name)}.</strong> {escape(f'{one.text} {one.defer}')}" for one in it.warnings)
    boxes = "".join(f'<div class="caution"><p>{one}</p></div>' for one in said)
    return f'<div class="cautions">{boxes}</div>\n'


def _methods(it: Methods) -> str:
    said = []
    for one in it.methods:
        tools = f" Tools: {', '.join(one.tools)}." if one.tools else ""
        who = f"For {PEOPLE.get(one.competence, one.competence)}."
        said.append(
            f'<div class="method"><h3>{escape(one.name)} <code>{escape(one.check)}</code></h3>'
            f'<p>{escape(one.how)} <span class="soft">{escape(who + tools)}</span></p></div>\n'
        )
    return "".join(said)


RENDERERS: dict[type, Callable[[Any], str]] = {
    Facts: _facts_block,
    Picture: _picture,
    Sentences: _sentences,
    Effects: _effects,
    Cautions: _cautions,
    Methods: _methods,
}
"""How each block is written; test rows are written together."""
