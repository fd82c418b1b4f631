"""Precautions in practice call-outs: what is switched off reads dead, and ticking everything is not safety."""

from __future__ import annotations

import pytest

from diag.reasoner import PreparedSite, Reasoner
from diag.training.practice.planner import wanted, wanted_for_repair
from diag.training.practice.run import Practice, PracticeRequest, begin_practice, open_options
from diag.training.practice.score import debrief
from diag.training.practice.steps import PRECAUTION_MINUTES, PRECAUTIONS, Step
from diag.virtual_checks.unsafe import needs_power

REQUEST = PracticeRequest(seed=3)


@pytest.fixture
def practice(reasoner: Reasoner, medium: PreparedSite) -> Practice:
    return begin_practice(reasoner, medium, REQUEST)


@pytest.mark.parametrize("check", ["volts-mains", "volts-isolator", "volts-supply-idle", "volts-power-unit-alone"])
def test_beyond_an_isolator_that_is_off_nothing_is_live(practice: Practice, check: str) -> None:
    controller = practice.prepared.topology.of_kind("controller")[0]
    before = practice.take(Step("check", check, controller))
    dead = practice.take(Step("check", check, controller, ("isolated", "battery-off")))
    after = practice.take(Step("check", check, controller))

    assert float(before.says.split()[0]) > 20
    assert dead.says.startswith("0.0 V. You switched it off yourself")
    assert float(after.says.split()[0]) > 20


def test_outputs_and_drives_are_dead_as_well(reasoner: Reasoner, medium: PreparedSite) -> None:
    practice = begin_practice(reasoner, medium, REQUEST)
    options = [it for it in open_options(practice) if it[0] in ("volts-output", "volts-output-idle", "volts-drive")]

    assert options
    for check, part in options:
        taken = practice.take(Step("check", check, part, ("isolated", "battery-off")))
        assert taken.is_spoiled
        assert abs(float(taken.says.split()[0])) < 0.5


def test_a_reading_of_what_was_switched_off_is_no_finding(practice: Practice) -> None:
    controller = practice.prepared.topology.of_kind("controller")[0]
    practice.take(Step("check", "volts-mains", controller, ("isolated",)))

    assert practice.findings() == ()


def test_resistance_is_measured_dead_and_is_not_spoiled(practice: Practice) -> None:
    check, part = next(it for it in open_options(practice) if it[0].startswith("ohms-"))
    taken = practice.take(Step("check", check, part, wanted(practice, check, part)))

    assert "isolated" in taken.step.precautions
    assert (taken.is_spoiled, taken.needless, taken.dangers) == (False, (), ())


def test_no_check_that_needs_power_asks_for_the_isolator(practice: Practice) -> None:
    for check, part in open_options(practice):
        if needs_power(practice.reasoner.knowledge.checks[check]):
            assert "isolated" not in wanted(practice, check, part)


def test_what_a_step_wants_is_never_needless(practice: Practice) -> None:
    for check, part in open_options(practice):
        taken = practice.take(Step("check", check, part, wanted(practice, check, part)))

        assert (taken.needless, taken.dangers, taken.is_spoiled) == ((), (), False), check


def solved(practice: Practice, precautions: tuple[str, ...]) -> None:
    """Ask, measure mains, mend the fault, and prove it."""
    fault, controller = practice.call.faults[0], practice.prepared.topology.of_kind("controller")[0]
    practice.take(Step("check", "ask-since-when", None, precautions))
    practice.take(Step("check", "volts-mains", controller, precautions or wanted(practice, "volts-mains", controller)))
    asks = precautions or wanted_for_repair(practice, fault.cause, fault.part)
    practice.take(Step("repair", fault.cause, fault.part, asks))
    practice.take(Step("proof", fault.cause, fault.part))


def test_ticking_every_precaution_earns_less_than_ticking_what_is_needed(
    reasoner: Reasoner, medium: PreparedSite
) -> None:
    careful, ticking = (begin_practice(reasoner, medium, REQUEST) for _ in range(2))
    solved(careful, ())
    solved(ticking, PRECAUTIONS)
    right, told = (debrief(it, reasoner, medium, REQUEST) for it in (careful, ticking))

    assert (right.for_safety, right.needless) == (30, ())
    assert told.unsafe == ()
    assert told.for_safety <= 20
    assert told.points < right.points
    assert told.minutes > right.minutes
    assert [it.step for it in told.needless if it.is_spoiled] == [2]
    assert len(told.needless[0].precautions) == len(PRECAUTIONS)
    assert any(it.startswith("Safety: ") and "Precautions not needed" in it for it in told.missing)


def test_a_needless_precaution_costs_its_minute(reasoner: Reasoner, medium: PreparedSite) -> None:
    bare, ticking = (begin_practice(reasoner, medium, REQUEST) for _ in range(2))
    one = bare.take(Step("check", "ask-since-when"))
    two = ticking.take(Step("check", "ask-since-when", None, ("secured-sash",)))

    assert two.minutes == one.minutes + PRECAUTION_MINUTES
    assert two.needless == ("secured-sash",)
