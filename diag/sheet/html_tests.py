"""Write test rows as a table with room for results and initials."""

from __future__ import annotations

import re
from collections.abc import Sequence
from html import escape

from diag.sheet.rows import Row
from diag.sheet.sheet import Tests

UNITS = {"ohm": "ohm", "C": "°C", "count": "", "Mohm": "Mohm"}
NUMBER_AND_UNIT = re.compile(r"(?<=\d) (?=(?:[kM]?ohm|kilohm|m?[VA]|mm²?|min|Mohm|s|m|N|h|%|°C|ppm)\b)")
HEADINGS = (
    ("test", "Test"),
    ("expected", "Expected movement and reading"),
    ("result", "Result"),
    ("initials", "Initials"),
)


def tests_tables(groups: Sequence[Tests]) -> str:
    """Return one table with a heading row for each part, or nothing without rows."""
    if not groups:
        return ""
    heads = "".join(f'<th scope="col" class="{name}">{said}</th>' for name, said in HEADINGS)
    bodies = "".join(_body(it) for it in groups)
    return f'<div class="scroll"><table class="tests"><thead><tr>{heads}</tr></thead>{bodies}</table></div>\n'


def _body(group: Tests) -> str:
    place = f' <span class="soft">· {escape(group.place)}</span>' if group.place else ""
    head = f'<tr class="part"><th colspan="4" scope="rowgroup">{escape(_title(group))}{place}</th></tr>'
    return f"<tbody>{head}{''.join(_row(it) for it in group.rows)}</tbody>"


def _title(group: Tests) -> str:
    name = f"{group.name[:1].upper()}{group.name[1:]}"
    return name if group.name == group.part else f"{name} ({group.part})"


def _row(row: Row) -> str:
    expected = ". ".join(filter(None, (row.movement, row.reading))) or row.passed
    cells = (f"{escape(row.test)} <code>{escape(row.check)}</code>", escape(keep_units(expected)), _result(row), "")
    return f"<tr>{''.join(f'<td>{cell}</td>' for cell in cells)}</tr>"


def keep_units(text: str) -> str:
    """Return the text with no line break between a number and its unit."""
    return NUMBER_AND_UNIT.sub("\u00a0", text)


def _result(row: Row) -> str:
    if row.unit:
        return f'<span class="blank"></span> {escape(UNITS.get(row.unit, row.unit))}'
    return '<span class="tick"></span>yes <span class="tick"></span>no'
