"""Show command classes at the 16 levels of ANSI/ASHRAE 135 clause 19.2, in the site's own order of precedence.

Levels 1, 2, 5, 6 and 8 have a name in the standard; the others are free for the site to use. Which free level a class
is shown at is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

LEVELS = range(1, 17)
LOWEST = 16
"""The level of a write that names none (from memory)."""

LEVEL_NAMES: Mapping[int, str] = {
    1: "Manual life safety",
    2: "Automatic life safety",
    5: "Critical equipment control",
    6: "Minimum on/off",
    8: "Manual operator",
}

DEFAULT_ORDER = ("smoke", "maintenance", "wind", "rain", "manual", "link", "schedule", "automatic")
"""Strongest first. Smoke before comfort is the rule of smoke ventilation; the rest is common practice, no source."""

PLACES = ((1, 2), (3,), (4,), (5,), (8,), (9,), (10,), (11,))
"""The levels of the strongest class, the next, and so on; with the default order each falls on its own name."""


def level_name(level: int) -> str:
    """Return the standard's name of a level, or that it is free."""
    return LEVEL_NAMES.get(level, "Available")


def full_order(order: Sequence[str] | None) -> tuple[str, ...]:
    """Return the site's order with the classes it leaves out put after those they follow by default."""
    found = list(order or DEFAULT_ORDER)
    for place, name in enumerate(DEFAULT_ORDER):
        if name not in found:
            before = [found.index(it) for it in DEFAULT_ORDER[:place] if it in found]
            found.insert(max(before) + 1 if before else 0, name)
    return tuple(found)


def levels_of(order: Sequence[str]) -> Mapping[str, tuple[int, ...]]:
    """Return the levels each class is shown at; a stronger class always has the lower numbers."""
    return dict(zip(order, PLACES, strict=True))
