"""Make up readings that belong to one outcome of a check, as a meter would show them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from random import Random

from diag.classify import BadReading, outcome_of
from diag.expectations import expect
from diag.training.workshop import Workshop
from knowledge.entries import Check, Reading
from knowledge.translations import EXPECT

STEPS: Mapping[str, float] = {"V": 0.1, "A": 0.01, "mA": 0.1, "mV": 1, "ohm": 1, "Mohm": 0.1, "s": 1, "min": 1, "mm": 1,
                              "C": 0.5, "ppm": 10, "m/s": 0.5, "%": 1, "count": 1}  # fmt: skip
"""How finely a reading is given."""

SHOWN = {"C": "°C", "count": ""}
MOST_TIMES: Mapping[str, float] = {"ohm": 12.0, "Mohm": 12.0, "A": 1.5, "s": 2.0, "mm": 3.0}
"""A value that is too high is seldom more than so many times the border: judgement."""

NEXT_TO_NOTHING_V, HALF = 0.35, 0.55
"""What is called no voltage, and from which share of a border on it is called too low: judgement."""

FAR_FROM_BORDER = 0.15
"""Share of a band's width that a reading keeps from its borders, so that a meter's own error cannot move it across."""

NEAR = 0.03
"""How far from the value to be expected a reading is that was said to be as expected: judgement."""

ABOUT = re.compile(r"About (\d+(?:\.\d+)?) ([^\W\d]\S*?)[ ,.]")

USUAL_TOP: Mapping[str, float] = {"V": 28.0, "A": 6.0, "ohm": 200_000, "Mohm": 200, "s": 240, "min": 120, "mm": 900,
                                  "ppm": 2500, "m/s": 25, "C": 45, "mA": 21}  # fmt: skip
"""Where a band without an upper limit ends in practice: judgement."""


def typed_reading(workshop: Workshop, check: Check, part: str, outcome: str, rng: Random) -> str | None:
    """Return a reading that this check at this part takes for the outcome, such as `0.2 V`; None without one."""
    if check.reading is None:
        return None
    expectation = expect(check, workshop.situation, part)
    if any(isinstance(it.below, str) and it.below not in expectation.limits for it in check.reading.bands):
        return None  # a usual border would do for most parts, but perhaps not for this one
    near = _near(check, outcome, expectation.text)
    for low, high in (*near, *_spans(check.reading, outcome, expectation.limits)):
        text = _text(check.reading, rng.uniform(low, high))
        try:
            if outcome_of(check, text, expectation) == outcome:
                return text
        except BadReading:
            continue
    return None


def _near(check: Check, outcome: str, expected: str) -> tuple[tuple[float, float], ...]:
    """Return the span near the value to be expected, where the outcome says “as expected” and one is told.

    A reading inside the limits but far from the value would be argued about.
    """
    label = next(it.label for it in check.outcomes if it.id == outcome)
    told = ABOUT.match(expected)
    if EXPECT not in label or told is None or check.reading is None or told[2] != check.reading.unit:
        return ()
    value = float(told[1])
    return ((value * (1 - NEAR), value * (1 + NEAR)),)


def _spans(reading: Reading, outcome: str, limits: Mapping[str, float]) -> Iterator[tuple[float, float]]:
    """Yield the inner part of each band of the outcome, those of positive readings first."""
    low, found = reading.lowest, []
    for band in reading.bands:
        below = band.below if not isinstance(band.below, str) else limits.get(band.below, band.below_else)
        high = _top(reading, low) if below is None else min(below, reading.highest)
        if band.outcome == outcome and high > low:
            found.append((low, _in_practice(reading, low, high)))
        low = high
    for start, end in sorted(found, key=lambda it: it[1] <= 0):
        start, end = _plain(reading, outcome, _bottom(start, end), end)
        margin = (end - start) * FAR_FROM_BORDER
        yield start + (0.0 if start == reading.lowest == 0 else margin), end - margin


def _plain(reading: Reading, outcome: str, start: float, end: float) -> tuple[float, float]:
    """Return the part of a band of volts that nobody argues about: none is next to nothing, too low is over half."""
    if reading.unit != "V" or start < 0:
        return start, end
    return (start, min(end, NEXT_TO_NOTHING_V)) if outcome == "none" else (max(start, HALF * end), end)


def _in_practice(reading: Reading, low: float, high: float) -> float:
    """Return the upper border of what is met in a band: nobody reads kilohms on a core with one bad joint."""
    return min(high, MOST_TIMES[reading.unit] * low) if low > 0 and reading.unit in MOST_TIMES else high


def _top(reading: Reading, low: float) -> float:
    usual = USUAL_TOP.get(reading.unit, reading.highest)
    return min(reading.highest, usual if usual > low else low * 1.2)


def _bottom(start: float, end: float) -> float:
    """Return where a band really begins: nobody reads -200 V on extra-low voltage."""
    return max(start, -28.0) if start < -28.0 < end else start


def _text(reading: Reading, value: float) -> str:
    step = STEPS[reading.unit]
    rounded = round(value / step) * step
    number = f"{rounded:.2f}" if step < 0.1 else f"{rounded:.1f}" if step < 1 else f"{rounded:.0f}"
    return f"{number} {reading.unit}" if reading.unit != "count" else number


def shown_reading(typed: str) -> str:
    """Return a typed reading as people read it: with the sign of degrees."""
    number, _, unit = typed.partition(" ")
    return f"{number} {SHOWN.get(unit, unit)}".rstrip()
