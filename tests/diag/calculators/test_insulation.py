"""Insulation and continuity limits."""

import pytest

from diag.calculators.insulation import (
    InsulationTest,
    insulation_finding,
    insulation_test,
    leak_to_earth_ma,
    most_continuity_ohm,
)


@pytest.mark.parametrize(
    ("nominal_v", "is_extra_low", "expected"),
    [
        (24, True, InsulationTest(250, 0.5)),
        (50, True, InsulationTest(250, 0.5)),
        (24, False, InsulationTest(500, 1.0)),
        (230, False, InsulationTest(500, 1.0)),
        (500, False, InsulationTest(500, 1.0)),
        (690, False, InsulationTest(1000, 1.0)),
    ],
)
def test_the_test_follows_iec_60364_6(nominal_v: float, is_extra_low: bool, expected: InsulationTest) -> None:
    assert insulation_test(nominal_v, is_extra_low) == expected


@pytest.mark.parametrize(
    ("measured_mohm", "finding"),
    [(200, "sound"), (0.5, "sound"), (0.49, "below the limit"), (0.005, "below the limit"), (0.001, "a plain fault")],
)
def test_a_measured_resistance_is_held_against_the_limit(measured_mohm: float, finding: str) -> None:
    assert insulation_finding(measured_mohm, insulation_test(24, is_extra_low=True)) == finding


def test_twenty_metres_of_sound_core_show_at_most_their_table_value() -> None:
    assert most_continuity_ohm(20, 2.5) == pytest.approx(0.1482)
    assert most_continuity_ohm(20, 2.5, joints_ohm=0.02) == pytest.approx(0.1682)


def test_an_insulation_resistance_lets_its_current_through() -> None:
    assert leak_to_earth_ma(230, 1.0) == pytest.approx(0.23)
    with pytest.raises(ValueError, match="insulation_mohm is 0"):
        leak_to_earth_ma(230, 0)
