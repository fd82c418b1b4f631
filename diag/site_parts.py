"""Look into the plain data of a site description, which may still hold anything anywhere."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

Data = Mapping[str, Any]

KIND_NAMES = {
    "places": "place",
    "controllers": "controller",
    "outputs": "output",
    "drives": "drive",
    "openings": "opening",
    "junctions": "junction",
    "cables": "cable",
    "zones": "zone",
    "inputs": "input",
    "lockouts": "lockout",
    "schedules": "schedule",
    "links": "link",
    "fans": "fan",
}
"""The sections of a description and what one member of each is called."""


def parts(data: Data, section: str) -> Iterator[tuple[str, Data]]:
    """Yield id and fields of every part in a section, leaving out what has no fields."""
    members = data.get(section)
    if not isinstance(members, dict):
        return
    for part_id, fields in members.items():
        if isinstance(fields, dict):
            yield part_id, fields


def text_at(fields: Data, name: str) -> str | None:
    """Return the field when it holds text."""
    value = fields.get(name)
    return value if isinstance(value, str) else None


def number_at(fields: Data, name: str) -> float | None:
    """Return the field when it holds a number."""
    value = fields.get(name)
    return float(value) if isinstance(value, int | float) and not isinstance(value, bool) else None


def with_article(noun: str) -> str:
    """Return the noun with `a` or `an`."""
    return f"{'an' if noun[0] in 'aeiou' else 'a'} {noun}"


def kinds_in_words(sections: tuple[str, ...]) -> str:
    """Return `an output, a junction or a drive` for section names."""
    names = [with_article(KIND_NAMES[section]) for section in sections]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"
