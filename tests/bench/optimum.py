"""The least expected cost of any plan, by dynamic programming over what can be believed: a yardstick for small cases.

A world is a set of faults with fixed signs; a repair takes faults away, a check tells worlds apart. The device is tried
after every repair at no cost, and the plan is over when it works.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

World = tuple[frozenset[str], str]
"""The faults that are there, and what never changes."""

Beliefs = tuple[tuple[World, float], ...]
"""Worlds in order with their shares, which sum to one."""

DIGITS = 12


@dataclass(frozen=True)
class Repair:
    """Takes some faults away where they are there."""

    fixes: frozenset[str]
    cost: float


@dataclass(frozen=True)
class Look:
    """Tells which of some outcomes is so, with the chance of each in a world."""

    cost: float
    chances: Callable[[World], Mapping[str, float]]


@dataclass
class Trouble:
    """A small problem: what can be done, and the price of passing it on; values are kept as they are worked out."""

    repairs: Mapping[str, Repair]
    looks: Mapping[str, Look] = field(default_factory=dict)
    call: float = float("inf")
    kept: dict[Beliefs, float] = field(default_factory=dict)

    def least(self, beliefs: Beliefs) -> float:
        """Return the least expected cost from beliefs in which nothing works yet."""
        if not beliefs:
            return 0.0
        if beliefs not in self.kept:
            self.kept[beliefs] = min((self.call, *(total for _, total in self.totals(beliefs))))
        return self.kept[beliefs]

    def totals(self, beliefs: Beliefs) -> Iterator[tuple[str, float]]:
        """Yield each thing that can be done and changes something, with its expected cost in all."""
        for name, repair in self.repairs.items():
            if any(faults & repair.fixes for (faults, _), _ in beliefs):
                left, share = after_repair(beliefs, repair)
                yield name, repair.cost + share * self.least(left)
        for name, look in self.looks.items():
            parts = after_look(beliefs, look)
            if len(parts) > 1:
                yield name, look.cost + sum(share * self.least(left) for left, share in parts)

    def cost_of(self, beliefs: Beliefs, choose: Callable[[Beliefs], str | None]) -> float:
        """Return the expected cost of going by a rule that names what to do next, or None for a call."""
        if not beliefs:
            return 0.0
        name = choose(beliefs)
        if name is None:
            return self.call
        if name in self.repairs:
            left, share = after_repair(beliefs, self.repairs[name])
            return self.repairs[name].cost + (share * self.cost_of(left, choose) if share > 0 else 0.0)
        parts = after_look(beliefs, self.looks[name])
        return self.looks[name].cost + sum(share * self.cost_of(left, choose) for left, share in parts)


def single_faults(shares: Mapping[str, float]) -> Beliefs:
    """Return beliefs in which exactly one fault is there."""
    return normal({(frozenset({fault}), ""): share for fault, share in shares.items()})[0]


def normal(weights: Mapping[World, float]) -> tuple[Beliefs, float]:
    """Return beliefs scaled to one and rounded, so that equal ones are found again, with their weight before."""
    total = sum(weights.values())
    if total <= 0:
        return (), 0.0
    ordered = sorted(weights.items(), key=lambda it: (sorted(it[0][0]), it[0][1]))
    return tuple((world, round(weight / total, DIGITS)) for world, weight in ordered if weight > 1e-15), total


def after_repair(beliefs: Beliefs, repair: Repair) -> tuple[Beliefs, float]:
    """Return the beliefs when the device still does not work after a repair, and the chance of that."""
    left: dict[World, float] = defaultdict(float)
    for (faults, signs), share in beliefs:
        if faults - repair.fixes:
            left[faults - repair.fixes, signs] += share
    return normal(left)


def after_look(beliefs: Beliefs, look: Look) -> list[tuple[Beliefs, float]]:
    """Return the beliefs after each outcome that can be, with its chance."""
    by_outcome: dict[str, dict[World, float]] = defaultdict(dict)
    for world, share in beliefs:
        for outcome, chance in look.chances(world).items():
            if chance > 0:
                by_outcome[outcome][world] = share * chance
    return [normal(weights) for _, weights in sorted(by_outcome.items())]


def is_there(fault: str) -> Callable[[World], Mapping[str, float]]:
    """Return a look that shows for certain whether a fault is there."""
    return lambda world: {"there" if fault in world[0] else "not": 1.0}


def in_turn(names: Sequence[str]) -> Callable[[Beliefs], str | None]:
    """Return the rule of doing things in a fixed order, one each time it is asked, then calling."""
    left = iter(names)
    return lambda _beliefs: next(left, None)
