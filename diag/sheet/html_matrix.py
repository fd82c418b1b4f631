"""Write a cause-and-effect matrix as a table: causes down, zones across."""

from __future__ import annotations

from html import escape

from diag.sheet.matrix import Effect, Matrix, MatrixRow
from diag.timeline.names import CLASS_NAMES, name_of
from diag.timeline.plan import Plan

CELLS = {"open": "opens", "close": "closes", "stop": "stops", "barred": "barred"}
"""The class of a cell by the action; other actions look like no effect and say their words."""

MOVED = {"open": "opened", "close": "closed"}


def matrix_table(plan: Plan, matrix: Matrix) -> str:
    """Return the table with a heading for each zone."""
    zones = "".join(
        f'<th scope="col">{_capital(name_of(plan, it))} <code>{escape(it)}</code></th>' for it in matrix.zones
    )
    rows = "".join(_row(it, matrix) for it in matrix.rows)
    head = f'<thead><tr><th scope="col" class="cause">Cause</th>{zones}</tr></thead>'
    return f'<div class="scroll"><table class="matrix">{head}<tbody>{rows}</tbody></table></div>\n'


def _capital(text: str) -> str:
    return escape(f"{text[:1].upper()}{text[1:]}")


def _row(row: MatrixRow, matrix: Matrix) -> str:
    cells = "".join(_cell(row.effects.get(zone)) for zone in matrix.zones)
    return f'<tr><th scope="row">{escape(row.scenario.says)}</th>{cells}</tr>'


def _cell(effect: Effect | None) -> str:
    if effect is None:
        return '<td class="none">–</td>'
    passes = f"<small>{escape(_passes(effect))}</small>" if effect.passes is not None else ""
    return f'<td class="{CELLS.get(effect.action, "plain")}">{escape(effect.says)}{passes}</td>'


def _passes(effect: Effect) -> str:
    """Return what still moves the zone the other way, in words."""
    names = ", ".join(CLASS_NAMES[it] for it in effect.passes or ())
    return f"still {MOVED[effect.against]} by: {names or 'nothing'}"
