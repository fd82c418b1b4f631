"""Say what changed between two descriptions of a site, field by field."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Difference:
    """A field with what it was and what it is; None where it was or is not there."""

    field: str
    before: Any
    after: Any


def differences(before: Mapping[str, Any], after: Mapping[str, Any]) -> list[Difference]:
    """Return the fields that differ, in order of their names; parts are told apart by id and not by their place."""
    old, new = dict(_fields(before)), dict(_fields(after))
    return [
        Difference(it, old.get(it), new.get(it)) for it in sorted(old.keys() | new.keys()) if old.get(it) != new.get(it)
    ]


def _fields(data: Mapping[str, Any], at: str = "") -> Iterator[tuple[str, Any]]:
    for name, value in data.items():
        field = f"{at}.{name}" if at else name
        if isinstance(value, Mapping) and value:
            yield from _fields(value, field)
        else:
            yield field, value
