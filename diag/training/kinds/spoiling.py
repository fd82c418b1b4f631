"""Put the fault that an inspection rule finds into the description of a part."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from random import Random
from typing import Any

from pydantic import ValidationError

from diag.site import Part, Site
from diag.topology import KINDS
from diag.training.workshop import Workshop
from knowledge.inspection_entries import InspectionRule

VARIED = (0.85, 1.15)
FEWEST_OF_A_MEASURE = 20
"""Whole numbers from here on are taken for measures, which may be a little other; smaller ones may be counts."""

MEASURES = ("_v", "_a", "_ma", "_ah", "_ohm", "_s", "_m", "_mm", "_m2", "_mm2", "_c", "_n", "_minutes", "_hours")
"""How the names of fields end whose small numbers are measures as well."""

DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
MOST_DAYS = 300
"""So many days earlier a part may have been installed."""

NOT_SHOWN = ("name", "also", "note", "place")


@dataclass(frozen=True)
class Spoiling:
    """A rule with the section of the part at which its first case finds something, and the fields that make it so."""

    rule: InspectionRule
    section: str
    fields: Mapping[str, Any]

    @cached_property
    def leaves(self) -> frozenset[str]:
        """Return the paths of the fields that have a value."""
        return frozenset(leaves(self.fields))


def spoilings(workshop: Workshop) -> tuple[Spoiling, ...]:
    """Return the rules whose fault lies in the fields of one part, of a section that the site has."""
    site = workshop.prepared.site
    found = (_spoiling(it) for it in workshop.inspector.inspections.rules.values())
    return tuple(it for it in found if it is not None and getattr(site, it.section))


def _spoiling(rule: InspectionRule) -> Spoiling | None:
    """Return what the first case says of its one part; None where other parts are needed for the fault."""
    case = rule.cases[0]
    sections = {name: parts for name, parts in (case.site or {}).items() if name != "name"}
    if len(case.finds) != 1 or len(sections) != 1:
        return None
    section, parts = next(iter(sections.items()))
    if section not in KINDS or not isinstance(parts, dict) or list(parts) != case.finds:
        return None
    fields = {name: value for name, value in parts[case.finds[0]].items() if name not in NOT_SHOWN}
    return Spoiling(rule, section, fields) if fields else None


def leaves(fields: Mapping[str, Any], above: str = "") -> Iterator[str]:
    """Yield every field that has a value, with those it lies in before it."""
    for name, value in fields.items():
        if isinstance(value, dict):
            yield from leaves(value, f"{above}{name}.")
        else:
            yield f"{above}{name}"


def varied(fields: Mapping[str, Any], rng: Random) -> dict[str, Any]:
    """Return the fields with their measures a little greater or smaller; counts, words and dates stay."""
    return {name: _varied_value(name, it, rng) for name, it in fields.items()}


def _varied_value(name: str, value: Any, rng: Random) -> Any:
    if isinstance(value, dict):
        return varied(value, rng)
    if isinstance(value, str) and DAY.fullmatch(value):
        return (date.fromisoformat(value) - timedelta(days=rng.randrange(MOST_DAYS))).isoformat()
    if isinstance(value, bool) or not isinstance(value, int | float):
        return value
    other = float(f"{value * rng.uniform(*VARIED):.2g}")
    if isinstance(value, float) or (name.endswith(MEASURES) and value < FEWEST_OF_A_MEASURE):
        return other
    return int(other) if value >= FEWEST_OF_A_MEASURE else value


def spoilt(site: Site, section: str, part: str, fields: Mapping[str, Any]) -> Site | None:
    """Return the site with these fields put over those of a part; None where the two do not go together."""
    parts: dict[str, Part] = dict(getattr(site, section))
    described = parts[part].model_dump(by_alias=True, exclude_unset=True)
    try:
        parts[part] = type(parts[part]).model_validate(_merged(described, fields))
    except ValidationError:
        return None
    return site.model_copy(update={section: parts})


def _merged(described: Mapping[str, Any], fields: Mapping[str, Any]) -> dict[str, Any]:
    merged = dict(described)
    for name, value in fields.items():
        both = isinstance(value, dict) and isinstance(merged.get(name), dict)
        merged[name] = _merged(merged[name], value) if both else value
    return merged
