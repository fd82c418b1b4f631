"""Show the description of a part in lines, as a question quotes it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from datetime import date
from random import Random
from typing import Any

from diag.site import Part
from diag.training.item import Level
from diag.training.kinds.spoiling import NOT_SHOWN
from diag.training.workshop import Workshop

BESIDE: Mapping[Level, int] = {1: 3, 2: 6, 3: 12}
"""How many fields are shown beside those of the fault: more to read at a higher level."""

DATE = re.compile(r"\d{4}-\d{2}-\d{2}")
UNITS = {"_ohm": "ohm", "_mm_s": "mm/s", "_mm2": "mm²", "_mm": "mm", "_ma": "mA", "_ah": "Ah", "_a": "A", "_v": "V",
         "_s": "s", "_m2": "m²", "_m": "m", "_c": "°C", "_n": "N", "_minutes": "min", "_hours": "h",
         "_baud": "baud"}  # fmt: skip


def told_fields(part: Part) -> dict[str, Any]:
    """Return the fields of a part that a question may show."""
    found = part.model_dump(by_alias=True, exclude_unset=True)
    return {name: it for name, it in found.items() if name not in NOT_SHOWN}


def drawn_beside(told: Mapping[str, Any], fault: Mapping[str, Any], level: Level, rng: Random) -> frozenset[str]:
    """Return fields to show beside those of the fault."""
    others = [it for it in told if it not in fault]
    return frozenset(rng.sample(others, min(BESIDE[level], len(others))))


def lines_of(workshop: Workshop, told: Mapping[str, Any], shown: frozenset[str]) -> list[str]:
    """Return the lines of these fields in their order, and the day where one of them is a date."""
    lines = [line for name, it in told.items() if name in shown for line in _line(name, it)]
    has_date = any(DATE.search(line) for line in lines)
    return [*lines, *([workshop.phrases.say("day", day=workshop.today.isoformat())] if has_date else [])]


def _line(name: str, value: object) -> Iterator[str]:
    if isinstance(value, dict):
        yield from (line for inner, it in value.items() for line in _line(f"{name}: {inner}", it))
        return
    ending = next((it for it in UNITS if name.endswith(it)), "")
    plain = name.removesuffix(ending).replace("_", " ")
    shown = ", ".join(map(str, value)) if isinstance(value, list) else _shown(value)
    yield f"{plain}: {shown}{f' {UNITS[ending]}' if ending else ''}"


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else value.isoformat() if isinstance(value, date) else str(value)
