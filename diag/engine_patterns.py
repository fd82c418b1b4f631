"""Decides which conditions one fact meets by itself, so that the engine package never compares text or numbers.

The package compares text with numbers as text, reads numbers only when they are written its way, and holds only so
many constants at once. Looking an answer up costs less than writing the value out for the package.
"""

from __future__ import annotations

import math
import operator
from bisect import bisect_left
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from diag.rules import Test, Value

_COMPARISONS: dict[str, Callable[[Any, Any], Any]] = {
    "above": operator.gt,
    "at-least": operator.ge,
    "below": operator.lt,
    "at-most": operator.le,
}


@dataclass(frozen=True, slots=True)
class Pattern:
    """What a condition asks of one fact alone: its kind, its tests, and pairs of fields that hold the same text.

    Variables are gone: `same-as` among the tests says that the field holds text, which the engine then joins.
    """

    kind: str
    tests: tuple[Test, ...]
    equal: tuple[tuple[str, str], ...]


def holds(test: Test, value: Value | None) -> bool:
    """Whether a field with this value meets the test; a missing field (None) meets none, `is-not` included."""
    if value is None:
        return False
    if test.operator == "is":
        return value == test.value
    if test.operator == "is-not":
        return value != test.value
    if test.operator == "same-as":
        return isinstance(value, str)
    if test.operator == "any-of":
        return isinstance(test.value, tuple) and value in test.value
    return isinstance(value, float) and bool(_COMPARISONS[test.operator](value, test.value))


class _Column:
    """The tests of all patterns on one field, answered as one bit a pattern; a pattern without a test passes.

    Every answer is worked out beforehand: for each text that some test names and for any other text, and for each
    number that some test names and for any number between two of them.
    """

    def __init__(self, field: str, patterns: Sequence[Pattern]) -> None:
        self.field = field
        asked = [tuple(test for test in pattern.tests if test.field == field) for pattern in patterns]
        self._free = sum(1 << bit for bit, tests in enumerate(asked) if not tests)
        self._asked = [(1 << bit, tests) for bit, tests in enumerate(asked) if tests]
        named = {value for tests in asked for test in tests for value in _constants(test)}
        texts = {value for value in named if isinstance(value, str)}
        self.missing = self._answer(None)
        self.texts = {text: self._answer(text) for text in texts}
        self.other_text = self._answer(max(texts, key=len, default="") + "+")
        self._marks = sorted(value for value in named if isinstance(value, float))
        self._numbers = [self._answer(value) for value in _samples(self._marks)]

    def _answer(self, value: Value | None) -> int:
        return self._free | sum(bit for bit, tests in self._asked if all(holds(test, value) for test in tests))

    def number(self, value: float) -> int:
        """Return the answers for a number."""
        at = bisect_left(self._marks, value)
        return self._numbers[2 * at + (at < len(self._marks) and self._marks[at] == value)]


def _constants(test: Test) -> tuple[Value, ...]:
    if test.operator == "same-as":
        return ()
    return test.value if isinstance(test.value, tuple) else (test.value,)


def _samples(marks: Sequence[float]) -> list[float]:
    """Return a number below the first mark, the mark, a number between it and the next, and so on to the end."""
    below = [number for mark in marks for number in (math.nextafter(mark, -math.inf), mark)]
    return [*below, math.nextafter(marks[-1], math.inf) if marks else 0.0]


class PatternIndex:
    """All patterns of one kind, as the bits of a number in the order given."""

    def __init__(self, patterns: Sequence[Pattern]) -> None:
        fields = sorted({test.field for pattern in patterns for test in pattern.tests})
        self._all = (1 << len(patterns)) - 1
        self._columns = [_Column(field, patterns) for field in fields]
        self._equal = [(1 << bit, pair) for bit, pattern in enumerate(patterns) for pair in pattern.equal]

    def matched(self, values: Mapping[str, Value]) -> int:
        """Return the bits of the patterns that a fact with these fields meets; 0 when it meets none."""
        passed = self._all
        for column in self._columns:
            value = values.get(column.field)
            if isinstance(value, str):
                passed &= column.texts.get(value, column.other_text)
            else:
                passed &= column.missing if value is None else column.number(value)
            if not passed:
                return 0
        for bit, (left, right) in self._equal:
            if passed & bit and values[left] != values[right]:
                passed &= ~bit
        return passed
