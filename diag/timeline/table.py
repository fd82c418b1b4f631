"""Set a timeline out as a table of text."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from diag.timeline.command import Span, Timeline
from diag.timeline.names import CLASS_NAMES, clock_of, day_of, name_of
from diag.timeline.plan import Plan

HEADER = ("Zone", "Day", "From", "Until", "Command", "By", "Class", "Level", "Lockouts")

Row = tuple[str, ...]


def table_rows(plan: Plan, timeline: Timeline, zones: Iterable[str]) -> list[Row]:
    """Return one row for each span of these zones, in the columns of HEADER."""
    return [_row(plan, span) for zone in zones for span in timeline.spans[zone]]


def set_out(rows: Sequence[Row], header: Row = HEADER) -> str:
    """Return rows under their header, columns as wide as their longest cell."""
    widths = [max(map(len, column)) for column in zip(header, *rows, strict=True)]
    lines = [header, tuple("-" * width for width in widths), *rows]
    return "\n".join("  ".join(map(str.ljust, line, widths)).rstrip() for line in lines)


def _row(plan: Plan, span: Span) -> Row:
    it = span.command
    lockouts = ", ".join(name_of(plan, part) for part in span.lockouts) or "-"
    when = (day_of(plan, span.start), clock_of(plan, span.start), clock_of(plan, span.end))
    if it is None:
        return (name_of(plan, span.zone), *when, "none", "-", "-", "-", lockouts)
    action = "none (hold-off)" if it.is_spent else it.action
    by, command_class = name_of(plan, it.source), CLASS_NAMES[it.command_class]
    return (name_of(plan, span.zone), *when, action, by, command_class, str(it.level), lockouts)
