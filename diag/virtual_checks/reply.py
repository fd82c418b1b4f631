"""Send a person to make one check at a virtual site and hear what they say."""

from __future__ import annotations

from dataclasses import dataclass, replace
from random import Random

from diag.classify import NO_OUTCOME, BadReading, outcome_of
from diag.observations import Expectation
from diag.virtual_checks.found import Found
from diag.virtual_checks.people import SAID, Mood, Person
from diag.virtual_checks.readings import metered, written
from knowledge.entries import Check


@dataclass(frozen=True, slots=True)
class Reply:
    """What a person comes back with.

    `outcome` is an outcome's id, or None when nothing was found out; `text` is what is said, such as "0.2 V";
    `typed` is what goes into a finding: a reading, an outcome's id, `cannot` or `not-sure`. `is_sure` is False for
    what somebody only thinks.
    """

    outcome: str | None
    text: str
    typed: str
    mood: Mood = "honest"
    is_sure: bool = True


@dataclass(frozen=True, slots=True)
class Question:
    """A check at a part with what is to be expected there."""

    check: Check
    expectation: Expectation

    def outcome(self, found: Found) -> str | None:
        """Return the outcome that a reading falls in; None for what tells nothing, or where nobody knows its limits."""
        if isinstance(found, str):
            return None if found in NO_OUTCOME else found
        reading = self.check.reading
        if reading is None:
            raise ValueError(f"{self.check.id} takes no reading; found {found:g}")
        try:
            return outcome_of(self.check, f"{self.readable(found):.6f}", self.expectation)
        except BadReading:
            return None

    def readable(self, value: float) -> float:
        """Return the value kept within what the instrument can show."""
        reading = self.check.reading
        return value if reading is None else max(reading.lowest, min(reading.highest, value))


def hear(question: Question, found: Found, person: Person, dice: Random) -> Reply:
    """Return what the person says of what is really so."""
    is_sure = person.is_sure(dice)
    mood = person.mood(dice, is_sure)
    if mood in SAID:
        return _nothing(mood)
    reply = _mistaken(question, found, dice) if mood == "wrong" else _honest(question, found, dice)
    return reply if is_sure or reply.outcome is None else replace(reply, is_sure=False)


def _nothing(mood: Mood) -> Reply:
    return Reply(None, SAID[mood], "cannot" if mood == "cannot" else "not-sure", mood)


def _honest(question: Question, found: Found, dice: Random, mood: Mood = "honest") -> Reply:
    if isinstance(found, str):
        outcome = question.outcome(found)
        return _nothing("not-sure") if outcome is None else Reply(outcome, label(question, outcome), outcome, mood)
    unit = question.check.reading.unit if question.check.reading else ""
    shown = question.readable(metered(found, unit, dice))
    outcome = question.outcome(shown)
    return Reply(outcome, written(shown, unit), written(shown, unit) if outcome else "not-sure", mood)


def _mistaken(question: Question, found: Found, dice: Random) -> Reply:
    """Return another answer than the right one: the meter misread, or something else seen."""
    right = question.outcome(found)
    if isinstance(found, float):
        slips = [it for it in (0.0, found / 10, found * 10, -found) if question.outcome(it) != right]
        readable = [it for it in slips if _is_plausible(question, it)]
        if readable:
            return _honest(question, dice.choice(readable), dice, "wrong")
    others = [it.id for it in question.check.outcomes if it.id not in (right, "not-known", "not-tried")]
    other = dice.choice(others)
    return Reply(other, label(question, other), other, "wrong")


def _is_plausible(question: Question, value: float) -> bool:
    reading = question.check.reading
    return reading is not None and reading.lowest <= value <= reading.highest


def label(question: Question, outcome: str) -> str:
    """Return the outcome in the words of the check."""
    found = next(it for it in question.check.outcomes if it.id == outcome)
    expected, _, _ = question.expectation.text.partition(". ")
    return found.label.replace("{expect}", expected.rstrip("."))
