"""What battery and charger are needed, against published examples."""

import pytest

from diag.calculators.battery_sizing import (
    charger_verdict,
    float_window_v,
    in_series,
    recharge_hours,
    required_capacity_ah,
    required_capacity_with_derating_ah,
    rest_state,
)


def test_the_published_sizing_example_is_met() -> None:
    # NFPA 72 style, published: 0.42 A for 24 h and 3.8 A for 5 min make 10.397 Ah, with 20 % 12.476 Ah
    assert required_capacity_ah(0.42, 24, 3.8, 5 / 60, margin=1.0) == pytest.approx(10.397, abs=5e-4)
    assert required_capacity_ah(0.42, 24, 3.8, 5 / 60) == pytest.approx(12.476, abs=5e-4)


def test_the_2022_edition_asks_for_a_quarter_more() -> None:
    assert required_capacity_ah(0.42, 24, 3.8, 5 / 60, margin=1.25) == pytest.approx(12.996, abs=5e-4)


def test_the_british_formula_derates_the_alarm_load() -> None:
    # BS 5839-1: 1.25 (24 * 0.42 + 1.75 * 3.8 * 0.5)
    assert required_capacity_with_derating_ah(0.42, 24, 3.8) == pytest.approx(16.756, abs=5e-4)


def test_batteries_in_series_add_volts_and_not_capacity() -> None:
    assert in_series(12.0, 18.0, 2) == (24.0, 18.0)


def test_a_charger_carries_the_load_as_well() -> None:
    verdict = charger_verdict(1.0, 18.0, standing_load_a=0.4)

    assert verdict.needed_a == pytest.approx(18 * 0.8 / 24 / 0.85 + 0.4)
    assert not verdict.is_enough
    assert charger_verdict(1.2, 18.0, standing_load_a=0.4).is_enough


def test_a_charger_just_large_enough_takes_exactly_a_day() -> None:
    needed = charger_verdict(9.0, 18.0, standing_load_a=0.4).needed_a

    assert recharge_hours(needed, 18.0, standing_load_a=0.4) == pytest.approx(24.0)
    assert recharge_hours(0.4, 18.0, standing_load_a=0.4) is None


def test_float_volts_fall_with_warmth() -> None:
    assert float_window_v(20) == float_window_v(25) == (27.0, 27.6)
    assert float_window_v(35) == pytest.approx((26.64, 27.24))
    assert float_window_v(0) == pytest.approx((27.72, 28.32))
    assert float_window_v(20, nominal_v=12) == (13.5, 13.8)


@pytest.mark.parametrize(
    ("voltage_v", "state"),
    [
        (0.0, "deeply discharged"),
        (20.9, "deeply discharged"),
        (23.9, "empty"),
        (24.0, "part charged"),
        (25.2, "charged"),
        (25.6, "charged"),
        (27.3, "on charge"),
    ],
)
def test_rested_volts_tell_the_charge(voltage_v: float, state: str) -> None:
    assert rest_state(voltage_v) == state
    assert rest_state(voltage_v / 2, nominal_v=12) == state


def test_a_margin_below_one_is_refused() -> None:
    with pytest.raises(ValueError, match=r"margin is 0\.8; expected 1 to 3"):
        required_capacity_ah(0.4, 24, 3.8, 0.1, margin=0.8)
