"""Say what a check should show at this part of this site, from its description and the calculators."""

from __future__ import annotations

from diag.expectations.register import CALCULATORS
from diag.facts import Situation
from diag.observations import Expectation
from diag.scope import is_stand_in
from knowledge.entries import Check

__all__ = ["CALCULATORS", "expect", "in_short"]


def expect(check: Check, situation: Situation, part: str) -> Expectation:
    """Return the reading to expect at the part; the entry's own words where the site does not tell more.

    The first sentence gives the value and its tolerance, those after it what other readings mean here.
    """
    kinds, calculator = CALCULATORS.get(check.expects or "", ((), None))
    if calculator is None or is_stand_in(part) or situation.scope.kind(part) not in kinds:
        return Expectation(check.expect_text)
    return calculator(situation, part) or Expectation(check.expect_text)


def in_short(text: str) -> str:
    """Return the first sentence of an expectation's text, without its full stop: the value and its tolerance."""
    return text.partition(". ")[0].rstrip(".")
