"""How long a battery lasts, against published examples and tables."""

import pytest

from diag.calculators.battery import (
    Battery,
    capacity_multiplier,
    discharge_hours,
    effective_age_years,
    expected_capacity_ah,
    movements_left,
    share_left_by_age,
    standby_hours,
)


def test_peukert_over_the_rated_hours_shortens_a_fast_discharge() -> None:
    # by hand: 20 (100 / (10 * 20)) ** 1.2 and 20 (7.2 / (3.6 * 20)) ** 1.2
    assert discharge_hours(100, 10, exponent=1.2) == pytest.approx(8.706, abs=5e-4)
    assert discharge_hours(7.2, 3.6, exponent=1.2) == pytest.approx(1.262, abs=5e-4)


def test_the_rated_current_lasts_the_rated_hours() -> None:
    assert discharge_hours(18.0, 0.9) == pytest.approx(20.0)
    assert discharge_hours(18.0, 1.8, rated_hours=10.0) == pytest.approx(10.0)


def test_a_trickle_is_promised_no_more_than_the_capacity_holds() -> None:
    assert discharge_hours(7.2, 0.1) == pytest.approx(72.0)


@pytest.mark.parametrize(
    ("temperature_c", "multiplier"),
    [(-3.9, 1.520), (4.4, 1.300), (10.0, 1.190), (15.6, 1.110), (25.0, 1.000), (32.2, 0.940)],
)
def test_capacity_follows_the_rows_of_ieee_485(temperature_c: float, multiplier: float) -> None:
    assert capacity_multiplier(temperature_c) == pytest.approx(multiplier)


def test_between_rows_capacity_stays_near_the_published_fit() -> None:
    for temperature_c in range(-3, 32):
        x = temperature_c / 100
        fit = -2.8117 * x**3 + 4.1916 * x**2 - 2.4941 * x + 1.405
        assert capacity_multiplier(temperature_c) == pytest.approx(fit, abs=0.02)


def test_cold_below_the_table_asks_for_ever_more() -> None:
    multipliers = [capacity_multiplier(temperature_c) for temperature_c in range(-20, 33)]

    assert multipliers == sorted(multipliers, reverse=True)
    assert capacity_multiplier(45) == capacity_multiplier(32.2)


def test_ten_kelvin_more_ages_twice_as_fast() -> None:
    assert effective_age_years(3, 20) == 3
    assert effective_age_years(3, 30) == 6
    assert effective_age_years(3, 5) == 3


def test_a_battery_at_its_design_life_has_four_fifths_left() -> None:
    assert share_left_by_age(0) == 1.0
    assert share_left_by_age(5) == pytest.approx(0.8)
    assert share_left_by_age(2.5, 30) == pytest.approx(0.8)
    assert share_left_by_age(12) == 0.0


def test_cold_and_age_both_take_from_the_capacity() -> None:
    battery = Battery(rated_ah=18, age_years=5, temperature_c=10)

    assert expected_capacity_ah(battery) == pytest.approx(18 * (1 - 0.2) / 1.19)


def test_warmth_is_not_counted_as_a_gain() -> None:
    assert expected_capacity_ah(Battery(rated_ah=18, temperature_c=30)) == pytest.approx(18.0)


def test_a_worn_battery_stands_by_for_less_time() -> None:
    fresh, worn = Battery(7.2, temperature_c=25), Battery(7.2, age_years=6, temperature_c=25)

    assert standby_hours(fresh, 0.3) == pytest.approx(24.0)
    assert standby_hours(worn, 0.3) < 15.5
    assert standby_hours(Battery(7.2, age_years=20), 0.3) == 0.0


def test_waiting_takes_openings_away() -> None:
    battery = Battery(7.2, temperature_c=25)
    at_once = movements_left(battery, moving_a=4.0, seconds_each=60)
    after_a_night = movements_left(battery, 4.0, 60, standby_a=0.3, standby_hours_first=12)

    assert at_once == int(20 * (7.2 / 80) ** 1.1 * 60)
    assert after_a_night == at_once // 2
    assert movements_left(battery, 4.0, 60, standby_a=0.3, standby_hours_first=30) == 0


@pytest.mark.parametrize(
    ("battery", "named"),
    [
        (Battery(0.0), "rated_ah is 0"),
        (Battery(7.2, age_years=-1), "age_years is -1"),
        (Battery(7.2, temperature_c=80), "temperature_c is 80; expected -20 to 50"),
        (Battery(7.2, exponent=3), "exponent is 3; expected 1 to 1.5"),
        (Battery(7.2, design_life_years=0), "design_life_years is 0"),
    ],
)
def test_a_battery_that_cannot_be_is_refused(battery: Battery, named: str) -> None:
    with pytest.raises(ValueError, match=named):
        standby_hours(battery, 0.3)
