"""Sixteen slots of which the lowest-numbered filled one counts (ANSI/ASHRAE 135 clause 19.2)."""

from __future__ import annotations

from typing import Generic, TypeVar

from diag.timeline.levels import LEVELS, LOWEST

Value = TypeVar("Value")


class PriorityArray(Generic[Value]):
    """What was written at each level and not relinquished. None is an empty slot; 0 and False are values."""

    __slots__ = ("_slots",)

    def __init__(self) -> None:
        self._slots: dict[int, Value] = {}

    def write(self, value: Value, level: int = LOWEST) -> None:
        """Fill a slot; what stood there before is gone. Raise ValueError for a level there is not."""
        _check(level)
        if value is None:
            self._slots.pop(level, None)
        else:
            self._slots[level] = value

    def relinquish(self, level: int = LOWEST) -> Value | None:
        """Empty a slot and return what it held; an empty slot may be relinquished."""
        _check(level)
        return self._slots.pop(level, None)

    def standing(self) -> Value | None:
        """Return the value that counts, or None when all slots are empty."""
        return self._slots[min(self._slots)] if self._slots else None

    def slots(self) -> tuple[Value | None, ...]:
        """Return all 16 slots, the strongest first."""
        return tuple(self._slots.get(level) for level in LEVELS)

    def __getitem__(self, level: int) -> Value | None:
        return self._slots.get(level)


def _check(level: int) -> None:
    if level not in LEVELS:
        raise ValueError(f"level is {level}; allowed: 1 to 16")
