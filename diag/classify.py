"""Turn what a technician answers, an outcome or a typed reading, into one of the check's outcomes."""

from __future__ import annotations

import re
from collections.abc import Mapping

from diag.calculators.readings import NotAReading, Range, read_value
from diag.errors import DiagError, UnknownOutcome
from diag.observations import Expectation
from knowledge.entries import Band, Check, Reading

NO_OUTCOME = frozenset({"cannot", "not-sure"})
"""Answers every check takes and that say nothing: it cannot be made here, or the result is not clear."""


READING_HIGHEST = "reading-highest"
"""The limit of an expectation that says what no meter exceeds at this part, either way of the sign."""

QUANTITIES: Mapping[str, tuple[str, float]] = {
    "V": ("voltage", 1.0),
    "mV": ("voltage", 1e-3),
    "A": ("current", 1.0),
    "mA": ("current", 1e-3),
    "ohm": ("resistance", 1.0),
    "Mohm": ("resistance", 1e6),
    "s": ("time", 1.0),
    "min": ("time", 60.0),
    "mm": ("stroke", 1.0),
    "C": ("temperature", 1.0),
    "ppm": ("concentration", 1.0),
    "m/s": ("wind", 1.0),
    "%": ("percentage", 1.0),
}
"""For each unit of a check: what it measures, and how much of that quantity's own unit one of it is."""

BARE_NUMBER = re.compile(r"[+-]?\d+([.,]\d+)?")


class BadReading(DiagError):
    """A typed reading that cannot be the reading of this check."""


def outcome_of(check: Check, answer: str, expectation: Expectation) -> str:
    """Return the id of the outcome; raise UnknownOutcome, or BadReading with the plausible range."""
    outcomes = [it.id for it in check.outcomes]
    if answer in outcomes or answer in NO_OUTCOME:
        return answer
    unknown = UnknownOutcome(check.id, answer, (*outcomes, *sorted(NO_OUTCOME)))
    if check.reading is None:
        raise unknown
    try:
        value = _value(check.reading, answer.strip(), expectation.limits)
    except BadReading:
        if any(character.isdigit() for character in answer):
            raise
        raise unknown from None  # a word that is no reading either: the outcomes help more
    return _banded(check.reading, value, expectation.limits)


def _value(reading: Reading, answer: str, limits: Mapping[str, float]) -> float:
    if reading.unit == "count":
        return _count(reading, answer)
    quantity, factor = QUANTITIES[reading.unit]
    highest = min(reading.highest, limits.get(READING_HIGHEST, reading.highest))
    lowest = max(reading.lowest, -highest)
    typed = f"{answer} {reading.unit}" if BARE_NUMBER.fullmatch(answer) else answer
    try:
        return read_value(typed, quantity, Range(lowest * factor, highest * factor)) / factor
    except NotAReading as refusal:
        raise BadReading(str(refusal)) from None


def _count(reading: Reading, answer: str) -> float:
    if not answer.isdecimal() or not reading.lowest <= int(answer) <= reading.highest:
        raise BadReading(f"“{answer}” is not a count from {reading.lowest:g} to {reading.highest:g}.")
    return float(answer)


def _banded(reading: Reading, value: float, limits: Mapping[str, float]) -> str:
    for band in reading.bands:
        limit = _limit(band, limits)
        if limit is None or value < limit:
            return band.outcome
    return reading.bands[-1].outcome


def _limit(band: Band, limits: Mapping[str, float]) -> float | None:
    """Return where the band ends, None for the last; raise BadReading when this site does not tell."""
    if not isinstance(band.below, str):
        return band.below
    limit = limits.get(band.below, band.below_else)
    if limit is None:
        raise BadReading("The site description does not say what is right here; choose the outcome that fits.")
    return limit
