"""How each command class looks in a chart: a light fill and a pattern, so that colour alone tells nothing apart."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

LOCKOUT, HELD, NOTHING, BUSY = "lockout", "held", "nothing", "busy"

INK = "#1a1a1a"
FAINT = "#5a5a5a"


@dataclass(frozen=True, slots=True)
class Style:
    """A fill, the colour and path of the pattern drawn over it, and what the legend says."""

    fill: str
    line: str
    path: str
    says: str


STYLES: Mapping[str, Style] = {
    "smoke": Style("#f6c4b5", "#b5533a", "M0 8L8 0M0 0L8 8", "smoke alarm"),
    "maintenance": Style("#e3d3ec", "#8a63a3", "M2 0V8M6 0V8", "maintenance"),
    "wind": Style("#cfe3ee", "#4f8aa8", "M0 8L8 0", "wind"),
    "rain": Style("#c9d8f3", "#5674b9", "M0 0L8 8", "rain"),
    "manual": Style("#fbe3a4", "#fbe3a4", "", "hand command"),
    "link": Style("#d3ead2", "#5b9a5a", "M2 2h2v2h-2zM6 6h2v2h-2z", "building link"),
    "schedule": Style("#f3d9c0", "#b07a44", "M0 4H8", "time programme"),
    "automatic": Style("#e2eed0", "#86a552", "M4 3v2M3 4h2", "automatic"),
    LOCKOUT: Style("#dedede", "#7a7a7a", "M0 8L8 0M4 8V4", "lockout"),
    HELD: Style("#fdf5dc", "#c9a94a", "M0 7H3", "hold-off, nothing moves it"),
    BUSY: Style("#ececec", "#555555", "M1 0V8M3 0V8M5 0V8M7 0V8", "too many changes to draw"),
    NOTHING: Style("#ffffff", "#ffffff", "", "nothing commands it"),
}


def pattern_definitions(kinds: Iterable[str]) -> Iterator[str]:
    """Yield the SVG pattern of each kind."""
    for kind in kinds:
        it = STYLES[kind]
        drawn = f'<path d="{it.path}" stroke="{it.line}" stroke-width="1" fill="none"/>' if it.path else ""
        yield (
            f'<pattern id="p-{kind}" width="8" height="8" patternUnits="userSpaceOnUse">'
            f'<rect width="8" height="8" fill="{it.fill}"/>{drawn}</pattern>'
        )
