"""A meter errs a little and shows so many places; a resistance is read out by its range."""

from __future__ import annotations

from random import Random

import pytest

from diag.calculators.readings import read_value
from diag.virtual_checks.readings import METER_SHARE, metered, ohm_digit, written


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (23.44, "V", "23.4 V"),
        (-23.44, "V", "-23.4 V"),
        (-0.01, "V", "0.0 V"),
        (0.9, "A", "0.90 A"),
        (37.4, "s", "37 s"),
        (0.34, "ohm", "0.34 ohm"),
        (121.4, "ohm", "121 ohm"),
        (10020, "ohm", "10 kohm"),
        (5.1e6, "ohm", "5.1 Mohm"),
        (5e7, "ohm", "OL"),
        (3, "count", "3"),
        (702.0, "ppm", "702 ppm"),
    ],
)
def test_a_reading_is_written_as_it_is_read_out(value: float, unit: str, text: str) -> None:
    assert written(value, unit) == text


@pytest.mark.parametrize("value", [0.5, 47.0, 990.0, 10e3, 5e6, 5e7])
def test_a_written_resistance_is_read_back_as_the_same(value: float) -> None:
    read = read_value(written(value, "ohm"), "resistance")
    assert read == pytest.approx(value, rel=0.01) or (value >= 40e6 and read == float("inf"))


def test_nothing_reads_nothing() -> None:
    assert metered(0.0, "V", Random(1)) == 0.0


def test_the_error_of_a_meter_stays_within_its_share_and_two_digits() -> None:
    dice = Random(1)
    errors = [abs(metered(24.0, "V", dice) - 24.0) for _ in range(500)]
    assert 0.1 < max(errors) <= 24.0 * METER_SHARE + 0.2


def test_a_display_of_the_controller_shows_what_it_holds() -> None:
    assert metered(30.0, "min", Random(1)) == 30.0


def test_a_meter_has_finer_places_on_lower_ranges() -> None:
    assert [ohm_digit(it) for it in (1.0, 100.0, 10e3)] == [0.01, 0.1, 10.0]
