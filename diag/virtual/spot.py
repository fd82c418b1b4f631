"""Where a fault is put: a part of a site in its condition, with how bad the fault is and the dice for its details."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from random import Random
from typing import TypeVar

from diag.topology import Topology
from diag.virtual.fitted import Fitted, History
from diag.virtual.surroundings import Surroundings

Item = TypeVar("Item")


@dataclass(frozen=True)
class Spot:
    """One place for one fault; `severity` runs from 0, hardly there, to 1, complete."""

    topology: Topology
    fitted: Fitted
    around: Surroundings
    part: str
    severity: float
    dice: Random

    @property
    def history(self) -> History:
        """Return what people will be able to tell of it."""
        return self.fitted.history

    def either(self, likely: Item, other: Item, share: float = 0.5) -> Item:
        """Return the likely of two things in that share of cases."""
        return likely if self.dice.random() < share else other

    def between(self, mild: float, severe: float) -> float:
        """Return a value between two by severity."""
        return mild + (severe - mild) * self.severity


Inject = Callable[[Spot], None]
Faults = Mapping[str, tuple[str, Inject]]
"""For each cause: the kind of part it sits at, and what it does to the part's condition."""


def wrong_from_the_start(spot: Spot) -> None:
    """Say that the fault was made by somebody: at installation, or at later work."""
    spot.history.began = spot.either("never-worked", "after-work", 0.4)
    spot.history.trades = spot.dice.random() < 0.3


def after_a_change(spot: Spot) -> None:
    """Say that somebody changed settings, known or not."""
    spot.history.began = spot.either("after-work", "suddenly", 0.7)
    spot.history.settings = spot.either("changed", "no", 0.6)


def slowly(spot: Spot) -> None:
    """Say that it came gradually, in most cases."""
    spot.history.began = spot.either("gradually", "suddenly", 0.75)


def pick(dice: Random, items: Iterable[Item]) -> Item | None:
    """Return one of the items, or None when there is none."""
    listed = list(items)
    return dice.choice(listed) if listed else None
