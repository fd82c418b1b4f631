"""Keep each thing that many opened cases of a pack share once, and speak of it by its number."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, field
from typing import Generic, TypeVar

Item = TypeVar("Item", bound=Hashable)

Row = tuple[float, ...]
"""The chances of a check's outcomes under one cause, in the order of its entry."""

ReasonKey = tuple[str, str, str, tuple[str, ...]]
"""Source, effect, words, and the facts they stand on."""


@dataclass(frozen=True, slots=True)
class PackPart:
    """A part that a cause or a check can be at, as callers see it; `id` of a stand-in starts with `?`."""

    id: str
    kind: str
    where: str
    serves_no_smoke: bool


@dataclass(frozen=True, slots=True)
class PackOption:
    """A check at a part, with what depends on the site: where it is made, what it shows there, its limits."""

    check: str
    part: int
    place: str | None
    expect: str
    limits: tuple[tuple[str, float], ...]


@dataclass
class Shelf(Generic[Item]):
    """Things in the order in which they first came, each with its number."""

    items: list[Item] = field(default_factory=list)
    _numbers: dict[Item, int] = field(default_factory=dict)

    def number(self, item: Item) -> int:
        """Return the number of a thing, which is put on the shelf if it is new."""
        found = self._numbers.get(item)
        if found is None:
            found = self._numbers[item] = len(self.items)
            self.items.append(item)
        return found


@dataclass(frozen=True)
class Shelves:
    """All that the opened cases of one pack share."""

    parts: Shelf[PackPart] = field(default_factory=Shelf)
    options: Shelf[PackOption] = field(default_factory=Shelf)
    reasons: Shelf[ReasonKey] = field(default_factory=Shelf)
    rows: Shelf[Row] = field(default_factory=Shelf)
