"""People are wrong, out of reach, or did not look, as often as they are said to be."""

from __future__ import annotations

from collections import Counter
from random import Random

import pytest

from diag.reasoner import Reasoner
from diag.virtual.faults import Fault
from diag.virtual_checks.people import CAREFUL, HURRIED, PERFECT, Person
from tests.diag.virtual_checks.calls import call_about

TRIES = 2000


def share_of(person: Person, mood: str) -> float:
    """Return how often a person was in this mood."""
    dice = Random(4)
    return Counter(person.mood(dice) for _ in range(TRIES))[mood] / TRIES  # type: ignore[index]


@pytest.mark.parametrize("mood", ["cannot", "did-not-look", "not-sure"])
def test_a_hurried_person_brings_no_finding_as_often_as_said(mood: str) -> None:
    assert share_of(HURRIED, mood) == pytest.approx(0.02, abs=0.01)


def test_a_careful_person_is_never_wrong_and_a_perfect_one_always_answers() -> None:
    assert share_of(CAREFUL, "wrong") == 0.0
    assert share_of(PERFECT, "honest") == 1.0


@pytest.mark.parametrize(("check", "part"), [("look-breaker", "c1"), ("volts-drive", "d8"), ("ohms-core", "k10")])
def test_one_answer_in_twenty_is_not_the_truth(reasoner: Reasoner, check: str, part: str) -> None:
    call = call_about(reasoner, Fault("core-open", "k10"), person=Person(wrong_share=0.05))
    truth = call.truth(check, part)
    wrong = sum(call.answer(check, part).outcome != truth for _ in range(TRIES))
    # three standard deviations of 2,000 draws at 5 %
    assert 0.035 <= wrong / TRIES <= 0.065


def test_a_wrong_answer_is_always_another_outcome_of_the_check(reasoner: Reasoner) -> None:
    call = call_about(reasoner, Fault("core-open", "k10"), person=Person(wrong_share=1.0))
    for check, part in (("volts-drive", "d7"), ("look-panel-lamps", "c1"), ("ohms-core", "k10")):
        outcomes = {it.id for it in call.question(check, part).check.outcomes}
        found = {call.answer(check, part).outcome for _ in range(40)}
        assert found <= outcomes - {call.truth(check, part)}


def test_who_only_thinks_so_says_so_and_is_wrong_oftener(reasoner: Reasoner) -> None:
    call = call_about(reasoner, person=Person(wrong_share=0.05, soft_share=0.5))
    replies = [call.answer("look-breaker", "c1") for _ in range(TRIES)]
    soft, sure = ([it.outcome != "on" for it in replies if it.is_sure is is_sure] for is_sure in (False, True))
    assert 0.45 < len(soft) / TRIES < 0.55
    assert sum(soft) / len(soft) == pytest.approx(0.2, abs=0.04)
    assert sum(sure) / len(sure) == pytest.approx(0.05, abs=0.025)
