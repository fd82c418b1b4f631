"""Volts and amperes to spare, and what fuses and cut-outs do with a current."""

import pytest

from diag.calculators.circuits import Circuit, ConstantCurrent, Supply, cable
from diag.calculators.margins import (
    breaker_answer,
    breaker_answer_at_once,
    cartridge_fuse_answer,
    current_margin,
    cut_out_answer,
    largest_fault_that_acts_ohm,
    most_running_at_once,
    starting_together,
    voltage_margins,
)


def run_of_two() -> Circuit:
    branches = (cable("trunk", "panel", "near", 30, 1.5), cable("end", "near", "far", 20, 1.5))
    loads = (ConstantCurrent("near", "near", 1.0, 19.2), ConstantCurrent("far", "far", 1.0, 19.2))
    return Circuit(Supply("panel", 24.0), branches, loads)


def test_the_far_drive_has_the_least_to_spare() -> None:
    margins = voltage_margins(run_of_two())

    assert [margin.load for margin in margins] == ["far", "near"]
    assert margins[0].spare_v == pytest.approx(24 - 2 * 0.726 - 0.484 - 19.2)


def test_starting_together_doubles_every_drop() -> None:
    margins = voltage_margins(starting_together(run_of_two(), 2.0))

    assert margins[0].voltage_v == pytest.approx(24 - 2 * (2 * 0.726 + 0.484))


def test_a_margin_is_told_even_where_the_drive_would_give_up() -> None:
    margins = voltage_margins(starting_together(run_of_two(), 3.0))

    assert margins[0].voltage_v == pytest.approx(24 - 3 * (2 * 0.726 + 0.484))
    assert margins[0].spare_v < 0


def test_a_current_above_its_rating_leaves_less_than_nothing() -> None:
    assert current_margin(5.0, 4.0).spare_a == -1.0
    assert current_margin(3.0, 4.0).share == 0.75


def test_the_largest_drives_decide_how_many_may_run_at_once() -> None:
    assert most_running_at_once([1.0, 2.0, 1.5], 4.0) == 2
    assert most_running_at_once([1.0, 2.0, 1.5], 4.5) == 3
    assert most_running_at_once([1.0, 1.0, 3.0, 1.0], 4.0) == 2
    assert most_running_at_once([5.0], 4.0) == 0


@pytest.mark.parametrize(
    ("current_a", "fuse", "breaker", "cut_out"),
    [
        (4.0, "holds", "holds", "holds"),
        (5.0, "holds", "may act", "holds"),
        (6.0, "holds", "acts", "may act"),
        (8.0, "may act", "acts", "acts"),
        (8.4, "acts", "acts", "acts"),
    ],
)
def test_protection_answers_by_multiples_of_its_rating(current_a: float, fuse: str, breaker: str, cut_out: str) -> None:
    assert cartridge_fuse_answer(current_a, 4.0) == fuse
    assert breaker_answer(current_a, 4.0) == breaker
    assert cut_out_answer(current_a, 4.0) == cut_out


@pytest.mark.parametrize(("curve", "answer"), [("B", "acts"), ("C", "may act"), ("D", "holds")])
def test_a_surge_trips_by_the_curve_of_the_breaker(curve: str, answer: str) -> None:
    assert breaker_answer_at_once(7 * 6.0, 6.0, curve) == answer  # type: ignore[arg-type]


def test_an_unknown_curve_is_refused() -> None:
    with pytest.raises(ValueError, match="curve is Z; expected B, C or D"):
        breaker_answer_at_once(10, 6, "Z")  # type: ignore[arg-type]


def test_a_long_thin_cable_keeps_a_short_below_what_a_fuse_acts_on() -> None:
    assert largest_fault_that_acts_ohm(24.0, 0.968, 4.0, 2.1) == pytest.approx(24 / 8.4 - 0.968)
    assert largest_fault_that_acts_ohm(24.0, 3.92, 4.0, 2.1) is None
