"""Put the reason of a finding into words: parts by name, figures with their units."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Final

from diag.rules import Value
from diag.topology import SITE_PART, Topology

VARIABLE = re.compile(r"\$[a-z][a-z0-9_]*")
FIGURE = re.compile(r"\{([a-z][a-z0-9_]*)\}")
UNITS: Final[tuple[tuple[str, str], ...]] = (
    ("_mm_s", "mm/s"),
    ("_mm2", "mm2"),
    ("_mm", "mm"),
    ("_ohm", "ohm"),
    ("_ah", "Ah"),
    ("_m2", "m2"),
    ("_minutes", "minutes"),
    ("_hours", "hours"),
    ("_years", "years"),
    ("_v", "V"),
    ("_a", "A"),
    ("_s", "s"),
    ("_c", "degrees"),
    ("_m", "m"),
)
"""The unit that the end of a figure's name tells; longer ends stand before shorter ones that end alike."""


def say(text: str, bound: Mapping[str, str], figure: Callable[[str], Value], topology: Topology) -> str:
    """Return the text with variables and figures filled in, the first letter a capital unless an id stands there."""
    named = VARIABLE.sub(lambda found: name_part(topology, bound[found[0]]), text)
    filled = FIGURE.sub(lambda found: say_figure(found[1], figure(found[1])), named)
    first = VARIABLE.match(text)
    starts_with_id = first is not None and name_part(topology, bound[first[0]]) == bound[first[0]]
    return filled if starts_with_id else filled[:1].upper() + filled[1:]


def name_part(topology: Topology, part: str) -> str:
    """Return the part's own name with its id."""
    if part == SITE_PART:
        return "the site"
    name = topology.name(part)
    return name if name == part else f"{name} ({part})"


def say_figure(name: str, value: Value) -> str:
    """Return a figure with three significant digits and the unit its name ends with; text as it stands."""
    if isinstance(value, str):
        return value
    if name.endswith("_share"):
        return f"{value * 100:.2g} %"
    number = f"{value:.0f}" if abs(value) >= 100 else f"{value:.3g}"
    unit = next((unit for end, unit in UNITS if name.endswith(end)), "")
    return f"{number} {unit}".rstrip()
