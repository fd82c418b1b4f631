"""Beaufort force by half-open steps, and the pressure of wind."""

import pytest

from diag.calculators.wind import beaufort_bounds_m_s, beaufort_force, wind_force_n, wind_pressure_pa


@pytest.mark.parametrize(
    ("force", "lower"),
    [
        (1, 0.3),
        (2, 1.6),
        (3, 3.4),
        (4, 5.5),
        (5, 8.0),
        (6, 10.8),
        (7, 13.9),
        (8, 17.2),
        (9, 20.8),
        (10, 24.5),
        (11, 28.5),
        (12, 32.7),
    ],
)
def test_each_force_begins_at_the_bound_of_the_wmo_scale(force: int, lower: float) -> None:
    assert beaufort_force(lower) == force
    assert beaufort_force(lower - 0.001) == force - 1
    assert beaufort_bounds_m_s(force)[0] == lower


def test_speeds_between_printed_bounds_belong_to_the_lower_force() -> None:
    assert beaufort_force(7.95) == 4
    assert beaufort_force(0.0) == 0
    assert beaufort_force(60.0) == 12


def test_the_middle_of_each_force_follows_the_scales_own_law() -> None:
    # the mid value of a force is 0.836 B^1.5 m/s
    for force in range(1, 13):
        assert beaufort_force(0.836 * force**1.5) == force


def test_pressure_goes_with_the_square_of_speed() -> None:
    assert wind_pressure_pa(8.0) == pytest.approx(39.2)
    assert wind_pressure_pa(13.9) == pytest.approx(118.3, abs=0.05)
    assert wind_force_n(13.9, 1.5, 0.8) == pytest.approx(118.3 * 1.2, abs=0.1)


def test_a_speed_below_zero_is_refused() -> None:
    with pytest.raises(ValueError, match="wind_m_s is -1"):
        beaufort_force(-1)
    with pytest.raises(ValueError, match="force is 13; expected 0 to 12"):
        beaufort_bounds_m_s(13)
