"""A call-out answers checks, takes repairs, and says truly whether it works."""

from __future__ import annotations

from dataclasses import replace

import pytest

from diag.classify import outcome_of
from diag.errors import UnknownCheck
from diag.observations import Finding, Observed
from diag.reasoner import Reasoner
from diag.reasoning import open_case
from diag.virtual.faults import Fault
from diag.virtual_checks.drawing import call_out
from diag.virtual_checks.people import PERFECT, Person
from diag.weighing import weigh
from tests.diag.virtual_checks.calls import call_about, prepared


def test_a_reading_comes_as_text_with_its_unit_and_as_the_outcome_it_means(reasoner: Reasoner) -> None:
    reply = call_about(reasoner, Fault("core-open", "k10")).answer("volts-drive", "d7")
    assert (reply.outcome, reply.text, reply.typed) == ("none", "0.0 V", "0.0 V")


def test_what_is_typed_is_understood_as_the_same_outcome(reasoner: Reasoner) -> None:
    call = call_about(reasoner, Fault("loose-terminal", "k14"))
    for check, part in (
        ("volts-drive", "d11"),
        ("ohms-core", "k14"),
        ("time-full-travel", "d1"),
        ("insulation-earth", "k9"),
    ):
        reply, question = call.answer(check, part), call.question(check, part)
        assert outcome_of(question.check, reply.typed, question.expectation) == reply.outcome


def test_a_meter_varies_a_little_from_one_reading_to_the_next(reasoner: Reasoner) -> None:
    call = call_about(reasoner)
    readings = [float(call.answer("volts-drive", "d7").text.removesuffix(" V")) for _ in range(30)]
    assert len(set(readings)) > 3
    assert max(readings) - min(readings) < 1.0


def test_an_outcome_without_reading_is_said_in_the_words_of_the_check(reasoner: Reasoner) -> None:
    reply = call_about(reasoner, Fault("obstruction", "w1")).answer("look-opening-free", "w1")
    assert reply.outcome == "obstructed"
    assert reply.text in {it.label for it in reasoner.knowledge.checks["look-opening-free"].outcomes}


@pytest.mark.parametrize(
    ("person", "text", "typed"),
    [
        (Person(cannot_share=1.0), "Cannot reach it", "cannot"),
        (Person(skipped_share=1.0), "Did not look", "not-sure"),
        (Person(unsure_share=1.0), "Not sure", "not-sure"),
    ],
)
def test_who_brings_no_finding_says_so(reasoner: Reasoner, person: Person, text: str, typed: str) -> None:
    reply = call_about(reasoner, person=person).answer("volts-drive", "d7")
    assert (reply.outcome, reply.text, reply.typed) == (None, text, typed)


def test_answers_do_not_depend_on_the_order_of_asking(reasoner: Reasoner) -> None:
    one, other = (call_about(reasoner, Fault("core-open", "k10"), seed=5) for _ in range(2))
    first = [one.answer("volts-drive", "d8"), one.answer("ohms-core", "k10")]
    second = [other.answer("ohms-core", "k10"), other.answer("volts-drive", "d8")]
    assert first == second[::-1]


def test_an_intermittent_fault_shows_sometimes_and_not_always(reasoner: Reasoner) -> None:
    call = call_about(reasoner, Fault("core-open", "k10", share_of_time=0.5))
    found = [call.answer("volts-drive", "d7").outcome for _ in range(60)]
    assert 15 <= found.count("none") <= 45
    assert found.count("none") + found.count("normal") == 60


def test_the_right_repair_works_and_another_does_not(reasoner: Reasoner) -> None:
    call = replace(call_about(reasoner, Fault("core-open", "k10")), symptoms=(Observed("drive-dead", "d7"),))
    wrong = call.repair("drive-motor-failed", "d7")
    assert (wrong.was_there, wrong.works) == (False, False)
    assert call.is_right("core-open", "k10")
    right = call.repair("core-open", "k10")
    assert (right.was_there, right.works, right.left) == (True, True, ())
    assert not call.is_right("core-open", "k10")
    assert call.case().repaired == (("drive-motor-failed", "d7"), ("core-open", "k10"))


def test_one_repair_of_two_leaves_what_the_other_shows(reasoner: Reasoner) -> None:
    faults = (Fault("core-open", "k2"), Fault("tap-function-missing", "sw-a"))
    call = replace(call_about(reasoner, *faults), symptoms=(Observed("drive-dead", "d1"),))
    assert call.repair("core-open", "k2").works
    assert call.left() == (Observed("tap-does-not-stop", "sw-a"),)


def test_a_check_without_a_part_is_made_at_the_only_one_there_is(reasoner: Reasoner) -> None:
    assert call_about(reasoner).answer("look-panel-lamps").outcome == "normal"
    assert call_about(reasoner).answer("volts-drive").outcome is None


def test_an_unknown_check_is_refused(reasoner: Reasoner) -> None:
    with pytest.raises(UnknownCheck):
        call_about(reasoner).answer("look-nothing", "d1")


def test_a_diagnosis_can_weigh_everything_a_call_out_says(reasoner: Reasoner) -> None:
    call = call_out(reasoner, prepared("medium"), [Fault("core-open", "k10", 1.0)], seed=2, person=PERFECT)
    assert call is not None
    reasoning = open_case(reasoner, call.prepared, call.case())
    findings = [Finding(check, call.answer(check, part).typed, part) for check, part in reasoning.options.options[:60]]
    assert len(weigh(reasoner, reasoning, findings).answered) == len(findings)


def test_a_call_out_gone_to_again_is_as_it_was_before_anybody_came(reasoner: Reasoner) -> None:
    call = call_out(reasoner, prepared("medium"), [Fault("core-open", "k10", 1.0, 0.5)], seed=2)
    assert call is not None
    first, second = call.again(), call.again()
    asked = [first.answer("volts-drive", "d7") for _ in range(5)]
    first.repair("core-open", "k10")
    assert [second.answer("volts-drive", "d7") for _ in range(5)] == asked
    assert second.is_right("core-open", "k10")
    assert not first.is_right("core-open", "k10")
    assert second.left() == call.left() != first.left()


def test_bringing_the_mains_back_ends_what_the_battery_is_kept_for(reasoner: Reasoner) -> None:
    call = call_about(reasoner, Fault("battery-reserve-kept", "c1"))
    assert call.is_right("mains-absent", "c1")
    assert call.repair("mains-absent", "c1").left == ()
