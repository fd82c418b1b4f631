"""End resistors, resting volts and gaps of a two-wire data bus."""

from math import inf

import pytest

from diag.calculators.rs485 import (
    end_resistors_fitted,
    largest_bias_ohm,
    message_gap_s,
    pair_resistance_ohm,
    resting_v,
    termination_verdict,
    unit_loads,
)


def test_two_end_resistors_measure_sixty_ohm() -> None:
    assert [pair_resistance_ohm(count) for count in (0, 1, 2, 3)] == pytest.approx([inf, 120, 60, 40])


def test_a_long_pair_adds_to_the_far_resistor() -> None:
    assert pair_resistance_ohm(2, pair_ohm=60) == pytest.approx(1 / (1 / 120 + 1 / 180))


def test_receivers_lower_it_a_little() -> None:
    assert pair_resistance_ohm(2, receiver_ohm=12_000 / 32) == pytest.approx(1 / (1 / 60 + 32 / 12_000))


@pytest.mark.parametrize(
    ("measured_ohm", "verdict"),
    [
        (12_000, "none"),
        (inf, "none"),
        (119, "one missing"),
        (61, "right"),
        (65, "right"),
        (40, "one too many"),
        (30, "more than one too many"),
        (85, "odd value"),
        (400, "odd value"),
    ],
)
def test_ohms_across_the_pair_count_the_end_resistors(measured_ohm: float, verdict: str) -> None:
    assert termination_verdict(measured_ohm) == verdict


def test_every_count_is_found_again_from_what_it_measures() -> None:
    for count in range(1, 6):
        assert end_resistors_fitted(pair_resistance_ohm(count)) == count


def test_a_kilohm_does_not_hold_an_idle_bus() -> None:
    assert resting_v(680) == pytest.approx(0.211, abs=5e-4)
    assert resting_v(1_000) == pytest.approx(0.146, abs=5e-4)
    assert resting_v(largest_bias_ohm()) == pytest.approx(0.2)


def test_the_gap_between_messages_stops_shrinking_above_19200() -> None:
    assert message_gap_s(9_600) == pytest.approx(4.01e-3, abs=5e-6)
    assert message_gap_s(19_200) == pytest.approx(2.005e-3, abs=1e-6)
    assert message_gap_s(38_400) == message_gap_s(115_200) == 1.75e-3


def test_thirty_two_unit_loads_are_the_most() -> None:
    assert unit_loads(32).is_within
    assert not unit_loads(33).is_within
    assert unit_loads(200, each=0.125).is_within


def test_a_bus_that_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="measured_ohm is 0"):
        end_resistors_fitted(0)
    with pytest.raises(ValueError, match="baud is 0"):
        message_gap_s(0)
