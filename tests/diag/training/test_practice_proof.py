"""Proof in practice call-outs: a cause is named on evidence, a repair is shown to help, and what is missing is told."""

from __future__ import annotations

import pytest

from diag.reasoner import PreparedSite, Reasoner
from diag.training.practice.choosing import choose_practice
from diag.training.practice.marks import FOR_CAUSE, FOR_EVIDENCE, FOR_PARTS, FOR_PROOF, FOR_SAFETY, FOR_TIME
from diag.training.practice.planner import planners_way, wanted, wanted_for_repair
from diag.training.practice.proving import PROVING_KINDS
from diag.training.practice.run import Practice, PracticeRequest, begin_practice, open_options
from diag.training.practice.score import debrief
from diag.training.practice.steps import NothingToProve, Step, Taken

REQUEST = PracticeRequest(seed=3)


def mend(practice: Practice) -> Taken:
    """Mend the hidden fault with every precaution it wants."""
    fault = practice.call.faults[0]
    return practice.take(Step("repair", fault.cause, fault.part, wanted_for_repair(practice, fault.cause, fault.part)))


def prove(practice: Practice) -> Taken:
    fault = practice.call.faults[0]
    return practice.take(Step("proof", fault.cause, fault.part))


@pytest.fixture
def practice(reasoner: Reasoner, medium: PreparedSite) -> Practice:
    return begin_practice(reasoner, medium, REQUEST)


def test_the_parts_of_the_score_come_to_a_hundred() -> None:
    assert FOR_CAUSE + FOR_EVIDENCE + FOR_PROOF + FOR_TIME + FOR_SAFETY + FOR_PARTS == 100


def test_a_repair_does_not_tell_whether_it_helped(practice: Practice) -> None:
    wrong = practice.take(Step("repair", "hinge-seized", practice.prepared.topology.of_kind("opening")[0]))
    right = mend(practice)

    assert wrong.says == right.says == "Mended. Nobody has shown yet that it works."
    assert (wrong.works, right.works, practice.is_over) == (None, None, False)
    assert prove(practice).says == "It works again."


@pytest.mark.parametrize("seed", range(1, 7))
def test_a_lucky_guess_without_a_check_and_without_proof_is_not_full(
    reasoner: Reasoner, medium: PreparedSite, seed: int
) -> None:
    request = PracticeRequest(seed)
    practice = begin_practice(reasoner, medium, request)
    mend(practice)
    found = debrief(practice, reasoner, medium, request)

    assert (found.is_mended, found.is_solved) == (True, False)
    assert (found.for_cause, found.for_evidence, found.for_proof) == (FOR_CAUSE, 0, 0)
    assert found.points <= 65
    assert any("No check before the repair spoke for this cause" in it for it in found.missing)
    assert any("Nobody showed after the repair" in it for it in found.missing)


@pytest.mark.parametrize("seed", [23, 13])
def test_a_check_that_speaks_for_it_earns_more_than_a_guess(reasoner: Reasoner, small: PreparedSite, seed: int) -> None:
    request = choose_practice(reasoner, small, seed)
    guessed = begin_practice(reasoner, small, request)
    mend(guessed)
    prove(guessed)
    checked = begin_practice(reasoner, small, request)
    zone = checked.call.faults[0].part
    for check in ("read-lockouts", "read-hold-off-remaining"):
        checked.take(Step("check", check, zone))
    mend(checked)
    prove(checked)
    guess, found = (debrief(it, reasoner, small, request) for it in (guessed, checked))

    assert (guess.for_evidence, found.for_evidence) == (0, FOR_EVIDENCE)
    assert guess.points < found.points
    assert any("Quick guesses earn half" in it for it in guess.missing)


def test_a_check_that_speaks_for_the_cause_and_a_proof_leave_nothing_missing_of_them(
    reasoner: Reasoner, medium: PreparedSite
) -> None:
    full = 0
    for seed in range(1, 7):
        request = PracticeRequest(seed)
        found = debrief(planners_way(reasoner, medium, request), reasoner, medium, request)
        assert found.for_proof == (FOR_PROOF if found.planner_solved else 0)
        full += found.points == 100 and found.missing == ()

    assert full >= 1


def test_a_check_that_shows_another_thing_than_before_proves_the_repair(practice: Practice) -> None:
    mend(practice)
    shown = None
    for check, part in open_options(practice):
        if practice.reasoner.knowledge.checks[check].kind in PROVING_KINDS:
            shown = practice.take(Step("check", check, part, wanted(practice, check, part)))
            if practice.is_over:
                break

    assert shown is not None
    assert shown.says.endswith("The complaint is gone.")
    assert practice.call.again().truth(shown.step.what, shown.step.part) != shown.outcome


def test_nothing_is_proved_with_the_isolator_off(practice: Practice) -> None:
    fault = practice.call.faults[0]
    mend(practice)
    dark = practice.take(Step("proof", fault.cause, fault.part, ("isolated",)))

    assert (dark.works, dark.is_spoiled, practice.is_over) == (None, True, False)
    assert prove(practice).works


def test_a_proof_needs_a_repair(practice: Practice) -> None:
    with pytest.raises(NothingToProve):
        prove(practice)


@pytest.mark.parametrize(
    ("language", "verb", "mends"),
    [("en", "Explain", "Mend"), ("de", "Erklären", "Beheben"), ("da", "Forklar", "Udbedr")],
)
def test_what_works_as_designed_is_explained_and_not_mended(
    reasoner: Reasoner, small: PreparedSite, language: str, verb: str, mends: str
) -> None:
    practice = begin_practice(reasoner, small, PracticeRequest(3, language=language))
    zone = practice.prepared.topology.of_kind("zone")[0]
    told = practice.take(Step("repair", "lockout-active", zone))
    fixed = practice.take(Step("repair", "core-open", practice.prepared.topology.of_kind("cable")[0]))
    did = [practice.said.did(it.step.kind, it.name, it.is_as_designed) for it in (told, fixed)]

    assert did[0].startswith(f"{verb}: ")
    assert did[1].startswith(f"{mends}: ")
    assert told.says != fixed.says


@pytest.mark.parametrize("language", ["de", "da"])
def test_readings_and_minutes_have_a_decimal_comma_in_german_and_danish(
    reasoner: Reasoner, medium: PreparedSite, language: str
) -> None:
    practice = begin_practice(reasoner, medium, PracticeRequest(3, language=language))
    controller = practice.prepared.topology.of_kind("controller")[0]
    taken = practice.take(Step("check", "volts-supply-idle", controller))

    assert "," in taken.says
    assert "." not in taken.says
    assert practice.said.number(12.5) == "12,5"
    assert practice.said.number(12.0) == "12"
