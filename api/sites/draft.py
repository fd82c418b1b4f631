"""A draft of a site description made from something else, with what could not be taken over."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from diag.errors import DiagError
from diag.site import Site

MOST_PARTS = 2_000
MOST_ID = 40


class BadDraft(DiagError):
    """A file from which no draft can be made."""


@dataclass
class Draft:
    """Parts by collection and id, and remarks on what a person has to look at."""

    name: str
    parts: dict[str, dict[str, dict[str, Any]]] = field(default_factory=dict)
    remarks: list[str] = field(default_factory=list)

    def add(self, collection: str, part: str, fields: Mapping[str, Any]) -> str:
        """Add a part and return its id, made different where it is taken; raise BadDraft when there are too many."""
        if sum(len(it) for it in self.parts.values()) >= MOST_PARTS:
            raise BadDraft(f"The file has more than {MOST_PARTS} parts. Split it by controller.")
        taken = {it for parts in self.parts.values() for it in parts}
        free = next(it for it in _candidates(part_id(part)) if it not in taken)
        self.parts.setdefault(collection, {})[free] = {name: it for name, it in fields.items() if it is not None}
        return free

    def description(self) -> dict[str, Any]:
        """Return the draft as a description."""
        return {"name": self.name, **self.parts}


def part_id(text: str) -> str:
    """Return an id of the form that parts have, made from a name."""
    plain = re.sub(r"[^a-z0-9]+", "-", text.casefold()).strip("-")[:MOST_ID].strip("-")
    return plain or "part"


def collections() -> dict[str, str]:
    """Return the name of each kind of part, and the field of a description that holds those parts."""
    return {it.removesuffix("s"): it for it, about in Site.model_fields.items() if about.default == {}}


def fields_of(collection: str) -> frozenset[str]:
    """Return the fields that a part of a collection can have."""
    holder = Site.model_fields[collection].annotation
    part = holder.__args__[1]  # type: ignore[union-attr]
    return frozenset(part.model_fields)


def _candidates(wanted: str) -> Iterable[str]:
    yield wanted
    for number in range(2, MOST_PARTS + 2):
        yield f"{wanted[: MOST_ID - 5]}-{number}"
