"""Draw the circuit of one output as SVG: boxes and drives with their volts, cables with their size and current."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from html import escape
from textwrap import wrap

from diag.expectations.words import amperes, volts
from diag.facts import Situation
from diag.sheet.circuit_figures import CircuitFigures, circuit_figures
from diag.sheet.circuit_layout import Place, lay_out

BOX_W, GAP, ROW_H, BOX_H = 168, 132, 62, 52
PAD = 6
LETTERS = 25
"""How many letters of a name fit on a line of a box."""

INK, SOFT, PAPER, GOOD, THIN, BAD = "#16211f", "#3a4845", "#ffffff", "#dfe9e4", "#ffe7ad", "#fbe3de"
THIN_V = 1.0
"""Less than this above a drive's least voltage is thin: judgement."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """What is drawn: the places, their figures and the situation they are read from."""

    situation: Situation
    output: str
    places: tuple[Place, ...]
    figures: CircuitFigures


def draw_circuit(situation: Situation, output: str) -> str:
    """Return the drawing as one SVG element with a title and a description; ids start with the output's."""
    places = lay_out(situation.scope.topology, output)
    drawing = Drawing(situation, output, places, circuit_figures(situation, output))
    columns = 1 + max(it.column for it in places)
    width = columns * BOX_W + (columns - 1) * GAP + 2 * PAD
    height = (1 + max(it.row for it in places)) * ROW_H + 2 * PAD
    return "".join(
        (
            '<svg xmlns="http://www.w3.org/2000/svg" class="circuit" role="img" '
            f'viewBox="0 0 {width:.0f} {height:.0f}" '
            f'width="{width:.0f}" height="{height:.0f}" aria-labelledby="t-{output} d-{output}" '
            'font-family="sans-serif" font-size="12">',
            f'<title id="t-{output}">{escape(_title(drawing))}</title>',
            f'<desc id="d-{output}">{escape(" ".join(describe(drawing)))}</desc>',
            *(_cable(drawing, it) for it in places if it.above),
            *(_box(drawing, it) for it in places),
            "</svg>",
        )
    )


def _title(drawing: Drawing) -> str:
    return f"Circuit of {drawing.situation.scope.topology.name(drawing.output)}"


def describe(drawing: Drawing) -> Iterator[str]:
    """Yield a sentence for each part drawn, for those who cannot see the drawing."""
    topology = drawing.situation.scope.topology
    for it in drawing.places:
        fed = f" fed from {topology.name(it.above)}" if it.above else ""
        voltage = drawing.figures.voltages_v.get(it.part)
        at = f", {volts(voltage)} with all running" if voltage is not None else ""
        yield f"{topology.name(it.part)}{fed}{at}."


def _x(it: Place) -> float:
    return PAD + it.column * (BOX_W + GAP)


def _middle(it: Place) -> float:
    return PAD + it.row * ROW_H + ROW_H / 2


def _cable(drawing: Drawing, it: Place) -> str:
    above = next(place for place in drawing.places if place.part == it.above)
    start, turn, end = _x(above) + BOX_W, _x(above) + BOX_W + 12, _x(it)
    dashes = ' stroke-dasharray="5 4"' if it.cable is None else ""
    line = f'<path d="M{start:.0f} {_middle(above):.1f}H{turn:.0f}V{_middle(it):.1f}H{end:.0f}"'
    drawn = f'{line} fill="none" stroke="{INK}" stroke-width="1.5"{dashes}/>'
    labels = _cable_labels(drawing, it)
    middle = (turn + end) / 2
    return drawn + _texts(labels, middle, _middle(it) - 5, 18, "middle", SOFT, 10.5)


def _cable_labels(drawing: Drawing, it: Place) -> list[str]:
    """Return two lines, the one above the cable and the one below it."""
    if it.cable is None:
        return ["cable not described"]
    cable = drawing.situation.scope.topology.site.cables[it.cable]
    length = f"{cable.length_m:g} m" if cable.length_m else "length ?"
    area = f"{cable.area_mm2:g} mm²" if cable.area_mm2 else "size ?"
    labels = [f"{it.cable}  {length} · {area}"]
    current = drawing.figures.currents_a.get(it.cable)
    if current is not None and it.above:
        seen = drawing.figures.voltages_v
        labels.append(f"{amperes(current)}, takes {volts(seen[it.above] - seen[it.part])}")
    return labels


def _box(drawing: Drawing, it: Place) -> str:
    top = _middle(it) - BOX_H / 2
    fill, note = _state(drawing, it.part)
    name = _name_lines(drawing, it.part)
    rect = (
        f'<rect x="{_x(it):.0f}" y="{top:.1f}" width="{BOX_W}" height="{BOX_H}" rx="4" '
        f'fill="{fill}" stroke="{INK}" stroke-width="1.5"/>'
    )
    lines = _texts(name, _x(it) + 7, top + 14, 12, "start", INK, 10.5)
    return rect + lines + _figure(drawing, it, top, note)


def _figure(drawing: Drawing, it: Place, top: float, note: str) -> str:
    voltage = drawing.figures.voltages_v.get(it.part)
    base = top + BOX_H - 6
    shown = volts(voltage) if voltage is not None else ""
    strong = f'<text x="{_x(it) + 7:.0f}" y="{base:.1f}" font-weight="700" fill="{INK}">{shown}</text>'
    return strong + _texts([note], _x(it) + BOX_W - 7, base, 0, "end", SOFT, 10.5)


def _name_lines(drawing: Drawing, part: str) -> list[str]:
    name = drawing.situation.scope.topology.name(part)
    text = part if name == part else f"{part}: {name}"
    lines = wrap(text, LETTERS + 3, max_lines=2, placeholder=" …")
    return lines or [part]


def _state(drawing: Drawing, part: str) -> tuple[str, str]:
    """Return the fill of a box and its note; the note says in words what the fill shows."""
    site = drawing.situation.scope.topology.site
    drive = site.drives.get(part)
    if drive is None:
        return (GOOD if part == drawing.output else PAPER), _note(drawing, part)
    voltage = drawing.figures.voltages_v.get(part)
    if voltage is None:
        return PAPER, "not worked out"
    least = drive.min_voltage_v
    if least is None:
        return PAPER, f"{drive.running_current_a:g} A"
    if abs(voltage) < least:
        return BAD, f"too low, needs {volts(least)}"
    return (THIN if abs(voltage) - least < THIN_V else PAPER), f"needs {volts(least)}"


def _note(drawing: Drawing, part: str) -> str:
    site = drawing.situation.scope.topology.site
    if part in site.outputs:
        amperes_by_cable = drawing.figures.currents_a
        cables = [it.cable for it in drawing.places if it.above == part and it.cable]
        first = [amperes_by_cable[it] for it in cables if it in amperes_by_cable]
        rated = site.outputs[part].rated_current_a
        amount = amperes(sum(first)) if first else ""
        return f"{amount} of {rated:g} A" if rated and first else amount
    fan = site.fans.get(part)
    return f"{fan.running_current_a:g} A" if fan and fan.running_current_a else ""


def _texts(lines: Iterable[str], x: float, y: float, step: float, anchor: str, colour: str, size: float) -> str:
    shown = [(line, y + index * step) for index, line in enumerate(lines) if line]
    look = f'text-anchor="{anchor}" fill="{colour}" font-size="{size}"'
    return "".join(f'<text x="{x:.1f}" y="{at:.1f}" {look}>{escape(line)}</text>' for line, at in shown)


KEY: Mapping[str, str] = {
    "white": "enough voltage, or nothing to compare with",
    "yellow": "less than 1 V above what the drive needs",
    "red": "less than the drive needs",
}
"""What the fills mean, for the page around the drawing."""
