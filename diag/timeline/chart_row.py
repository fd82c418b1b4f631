"""Draw one zone of a chart: its commands in a row, the lockouts beneath and the refusals above."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from xml.sax.saxutils import escape

from diag.timeline.chart_axis import share
from diag.timeline.chart_styles import BUSY, FAINT, HELD, INK, LOCKOUT, NOTHING
from diag.timeline.command import LockoutSpan, Refusal, Span, Timeline
from diag.timeline.names import clock_of, name_of
from diag.timeline.plan import Plan

WIDTH, LEFT, RIGHT = 1000, 176, 28
MARKS, BLOCK, LANE, GAP = 20, 32, 16, 14
"""Heights: room for the marks of refusals, a command, a lockout, and the space to the next zone."""
LETTER = 6.4
"""Width of a letter of 12 px text, rather too wide than too narrow."""
THINNEST = 1.0
MARK = 7.0

ACTIONS = {"open": "open", "close": "close", "stop": "stop", "step": "step", "moved": "move"}
LETTERS = "O open, C close, S stop, M move"


@dataclass(frozen=True, slots=True)
class Row:
    """One zone of one chart and where its row begins."""

    plan: Plan
    timeline: Timeline
    zone: str
    top: float

    def x(self, at: datetime) -> float:
        """Return the place of a moment across the page."""
        return LEFT + (WIDTH - LEFT - RIGHT) * share(at, self.timeline.start, self.timeline.end)

    @property
    def lockouts(self) -> dict[str, list[LockoutSpan]]:
        """Return the spans of each lockout of the zone that stood at all."""
        found: dict[str, list[LockoutSpan]] = {}
        for it in self.timeline.lockouts:
            if self.zone in self.plan.lockouts[it.lockout].zones:
                found.setdefault(it.lockout, []).append(it)
        return found

    @property
    def height(self) -> float:
        """Return how much of the page the row takes."""
        return MARKS + BLOCK + LANE * len(self.lockouts) + GAP


def draw_row(row: Row, numbers: Mapping[Refusal, int]) -> Iterator[str]:
    """Yield the SVG elements of a row; `numbers` gives the refusals that are listed below the chart."""
    y = row.top + MARKS
    name = name_of(row.plan, row.zone)
    yield f'<g><text x="{LEFT - 12}" y="{y + 20:g}" class="zone">{escape(_fitted(name, LEFT - 20))}</text>'
    groups = list(_merged(row))
    yield from (_block(row, spans, y) for spans in groups if not is_once(spans[0]))
    yield from (_once(row, spans[0], y) for spans in groups if is_once(spans[0]))
    for lane, (lockout, stood) in enumerate(row.lockouts.items()):
        yield from _lane(row, lockout, stood, y + BLOCK + lane * LANE)
    yield from _marks(row, numbers, y)
    yield "</g>"


def kinds_in(row: Row) -> set[str]:
    """Return the styles a row is drawn in."""
    found = {kind_of(row.plan, it[0]) if len(it) == 1 else BUSY for it in _merged(row)}
    return found | {LOCKOUT} if row.lockouts else found


def kind_of(plan: Plan, span: Span) -> str:
    """Return the style a span is drawn in."""
    it = span.command
    if it is None:
        return NOTHING
    if it.is_spent:
        return HELD
    return LOCKOUT if it.source in plan.lockouts else it.command_class


def _merged(row: Row) -> Iterator[list[Span]]:
    """Yield spans one by one, but those too thin to be seen together with their thin neighbours."""
    thin: list[Span] = []
    for span in row.timeline.spans[row.zone]:
        if row.x(span.end) - row.x(span.start) < THINNEST and not is_once(span):
            thin.append(span)
            continue
        if thin:
            yield thin
            thin = []
        yield [span]
    if thin:
        yield thin


def is_once(span: Span) -> bool:
    """Return whether a command was given and was over at once."""
    return span.start == span.end


def _once(row: Row, span: Span, y: float) -> str:
    says = escape(_said(row, span))
    return f'<path d="M{row.x(span.start):.1f} {y - 2:g}l5 8l-5 8l-5 -8z" class="once"><title>{says}</title></path>'


def _block(row: Row, spans: list[Span], y: float) -> str:
    first = spans[0]
    left, right = row.x(first.start), row.x(spans[-1].end)
    kind = kind_of(row.plan, first) if len(spans) == 1 else BUSY
    width = max(THINNEST, right - left)
    title = escape(_said(row, first) if len(spans) == 1 else f"{len(spans)} changes")
    box = f'x="{left:.1f}" y="{y:g}" width="{width:.1f}" height="{BLOCK}"'
    label = _label(row, first, width) if len(spans) == 1 else ""
    text = f'<text x="{left + 5:.1f}" y="{y + 20:g}" class="label">{escape(label)}</text>' if label else ""
    dashed = ' class="nothing"' if kind == NOTHING else ' class="block"'
    return f'<g><title>{title}</title><rect {box} fill="url(#p-{kind})"{dashed}/>{text}</g>'


def _label(row: Row, span: Span, width: float) -> str:
    it = span.command
    if it is None:
        choices = ["nothing commands it", "nothing"]
    elif it.is_spent:
        choices = ["hold-off only", "held"]
    else:
        action = ACTIONS.get(it.action, it.action)
        choices = [f"{action}: {name_of(row.plan, it.source)}", action, action[:1].upper()]
    return next((text for text in choices if len(text) * LETTER + 9 <= width), "")


def _said(row: Row, span: Span) -> str:
    it = span.command
    what = "nothing" if it is None else "hold-off, moves nothing" if it.is_spent else it.action
    by = f" by {name_of(row.plan, it.source)}" if it else ""
    return f"{clock_of(row.plan, span.start)} to {clock_of(row.plan, span.end)}: {what}{by}"


def _lane(row: Row, lockout: str, stood: Iterable[LockoutSpan], y: float) -> Iterator[str]:
    name = name_of(row.plan, lockout)
    yield f'<text x="{LEFT - 12}" y="{y + 12:g}" class="lane">{escape(_fitted(name, LEFT - 20, 5.6))}</text>'
    for it in stood:
        left, right = row.x(it.start), row.x(it.end)
        says = f"{name}: {clock_of(row.plan, it.start)} to {clock_of(row.plan, it.end)}"
        box = f'x="{left:.1f}" y="{y + 4:g}" width="{max(THINNEST, right - left):.1f}" height="{LANE - 6}"'
        yield f'<rect {box} fill="url(#p-{LOCKOUT})" class="block"><title>{escape(says)}</title></rect>'


def _marks(row: Row, numbers: Mapping[Refusal, int], y: float) -> Iterator[str]:
    """Yield a numbered ring above the row for each refusal; rings that would meet move to the right."""
    free = 0.0
    for refusal, number in numbers.items():
        if refusal.zone != row.zone:
            continue
        at = row.x(refusal.at)
        x = min(max(at, free), WIDTH - MARK)
        free = x + 2 * MARK + 2
        yield f'<path d="M{at:.1f} {y:g}L{x:.1f} {y - 4:g}" stroke="{INK}"/>'
        yield f'<circle cx="{x:.1f}" cy="{y - MARK - 4:g}" r="{MARK}" fill="#fff" stroke="{INK}"/>'
        yield f'<text x="{x:.1f}" y="{y - MARK:g}" class="mark" fill="{FAINT}">{number}</text>'


def _fitted(text: str, width: float, letter: float = LETTER) -> str:
    room = int(width / letter)
    return text if len(text) <= room else text[: room - 1].rstrip() + "…"
