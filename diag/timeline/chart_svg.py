"""Draw who commanded what, zone by zone, as an SVG that reads in print and without colour."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from xml.sax.saxutils import escape

from diag.timeline.chart_axis import share, ticks
from diag.timeline.chart_row import LEFT, LETTERS, RIGHT, WIDTH, Row, draw_row, is_once, kinds_in
from diag.timeline.chart_styles import FAINT, INK, NOTHING, STYLES, pattern_definitions
from diag.timeline.command import Refusal, Timeline
from diag.timeline.names import clock_from, clock_of, day_of, name_of
from diag.timeline.plan import Plan
from diag.timeline.sentences import tell_refusal

TOP, AXIS, LINE, SWATCH, COLUMNS = 66, 30, 18, 14, 4
LISTED = 12
TICK_LETTER = 6.6
STYLE_SHEET = (
    f"text{{font-family:system-ui,'Segoe UI',Roboto,Helvetica,Arial,sans-serif;font-size:12px;fill:{INK}}}"
    ".heading{font-size:16px;font-weight:600}.zone{text-anchor:end;font-weight:600}"
    ".lane{text-anchor:end;font-size:11px}.mark{text-anchor:middle;font-size:10px}"
    ".label{paint-order:stroke;stroke:#fff;stroke-width:3px;stroke-linejoin:round}"
    f".tick{{text-anchor:middle;font-size:11px}}.block{{stroke:{INK};stroke-width:.75}}"
    f".nothing{{stroke:{FAINT};stroke-width:.75;stroke-dasharray:3 3}}"
    f".once{{fill:{INK};stroke:#fff}}.grid{{stroke:#c8c8c8;stroke-width:.75}}"
)


def draw(plan: Plan, timeline: Timeline, zones: Sequence[str]) -> str:
    """Return the chart of these zones as an SVG document of its own."""
    rows, bottom = _rows(plan, timeline, zones)
    refusals = [it for it in timeline.refusals if it.zone in zones]
    numbers = {it: number for number, it in enumerate(refusals[:LISTED], 1)}
    legend = list(_legend(_kinds(rows), bottom + AXIS + 12))
    notes = list(_notes(plan, timeline, numbers, len(refusals), _below(bottom + AXIS + 12, len(_kinds(rows)))))
    height = _below(bottom + AXIS + 12, len(_kinds(rows))) + LINE * len(notes)
    body = [line for row in rows for line in draw_row(row, numbers)]
    head = _head(plan, timeline, zones, height, _kinds(rows))
    return "\n".join([*head, *_axis(plan, timeline, bottom), *body, *legend, *notes, "</svg>", ""])


def _rows(plan: Plan, timeline: Timeline, zones: Sequence[str]) -> tuple[list[Row], float]:
    rows: list[Row] = []
    top = float(TOP)
    for zone in zones:
        rows.append(Row(plan, timeline, zone, top))
        top += rows[-1].height
    return rows, top


def _kinds(rows: Sequence[Row]) -> list[str]:
    used = {kind for row in rows for kind in kinds_in(row)}
    return [kind for kind in STYLES if kind in used]


def _head(plan: Plan, timeline: Timeline, zones: Sequence[str], height: float, kinds: Sequence[str]) -> Iterator[str]:
    when = (
        f"{day_of(plan, timeline.start)}, {clock_of(plan, timeline.start)}"
        f" to {clock_from(plan, timeline.end, timeline.start)}"
    )
    yield (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height:g}" width="{WIDTH}" '
        f'height="{height:g}" role="img" aria-labelledby="chart-title chart-desc">'
    )
    yield f'<title id="chart-title">Who commanded what: {escape(plan.site.name)}, {when}</title>'
    yield f'<desc id="chart-desc">{escape(_described(plan, timeline, zones))}</desc>'
    yield f"<style>{STYLE_SHEET}</style><defs>{''.join(pattern_definitions(kinds))}</defs>"
    yield f'<rect width="{WIDTH}" height="{height:g}" fill="#fff"/>'
    yield f'<text x="16" y="26" class="heading">Who commanded what: {escape(plan.site.name)}</text>'
    rings = " Numbered rings: did not count when given, see below." if timeline.refusals else ""
    is_any_once = any(is_once(span) for zone in zones for span in timeline.spans[zone])
    once = " Diamonds: commands given once." if is_any_once else ""
    yield f'<text x="16" y="46">{when}. {LETTERS}.{once}{rings}</text>'


def _described(plan: Plan, timeline: Timeline, zones: Sequence[str]) -> str:
    """Return in words how each zone ended, for those who do not see the chart."""
    parts = []
    for zone in zones:
        spans = timeline.spans[zone]
        last = spans[-1].command if spans else None
        stands = f"{last.action} by {name_of(plan, last.source)}" if last and not last.is_spent else "nothing"
        refused = sum(it.zone == zone for it in timeline.refusals)
        parts.append(f"{name_of(plan, zone)}: {len(spans)} spans, {refused} refused, at the end {stands}.")
    return " ".join(parts)


def _axis(plan: Plan, timeline: Timeline, bottom: float) -> Iterator[str]:
    for at, label in ticks(timeline.start, timeline.end, plan.time_zone):
        x = LEFT + (WIDTH - LEFT - RIGHT) * share(at, timeline.start, timeline.end)
        yield f'<path d="M{x:.1f} {TOP - 6}V{bottom:g}" class="grid"/>'
        middle = min(x, WIDTH - len(label) * TICK_LETTER / 2)
        yield f'<text x="{middle:.1f}" y="{bottom + 16:g}" class="tick">{label}</text>'


def _legend(kinds: Sequence[str], top: float) -> Iterator[str]:
    step = (WIDTH - 32) / COLUMNS
    for place, kind in enumerate(kinds):
        x, y = 16 + step * (place % COLUMNS), top + LINE * (place // COLUMNS)
        outline = "nothing" if kind == NOTHING else "block"
        size = f'width="{SWATCH * 2}" height="{SWATCH}"'
        yield f'<rect x="{x:g}" y="{y:g}" {size} fill="url(#p-{kind})" class="{outline}"/>'
        yield f'<text x="{x + SWATCH * 2 + 6:g}" y="{y + 11:g}">{STYLES[kind].says}</text>'


def _below(top: float, kinds: int) -> float:
    return top + LINE * (-(-kinds // COLUMNS)) + LINE


def _notes(plan: Plan, timeline: Timeline, numbers: Mapping[Refusal, int], refused: int, top: float) -> Iterator[str]:
    lines = [
        f"{number}  {clock_from(plan, it.at, timeline.start)}, {name_of(plan, it.zone)}: {tell_refusal(plan, it)}"
        for it, number in numbers.items()
    ]
    if refused > LISTED:
        lines.append(f"{refused - LISTED} more commands were refused; the sentences list them all.")
    for place, line in enumerate(lines):
        yield f'<text x="16" y="{top + LINE * place:g}">{escape(line)}</text>'
