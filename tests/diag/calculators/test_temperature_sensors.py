"""Ohms and degrees against the platinum table and thermistor formula."""

import pytest

from diag.calculators.temperature_sensors import (
    Platinum,
    Thermistor,
    lead_error_k,
    resistance_ohm,
    shown_c,
    temperature_c,
    tolerance_k,
)


@pytest.mark.parametrize(
    ("degrees", "ohms"),
    [
        (-200, 18.52),
        (-100, 60.26),
        (-50, 80.31),
        (-20, 92.16),
        (0, 100.00),
        (10, 103.90),
        (20, 107.79),
        (50, 119.40),
        (100, 138.51),
        (200, 175.86),
        (400, 247.09),
        (850, 390.48),
    ],
)
def test_platinum_follows_the_table_of_iec_60751(degrees: float, ohms: float) -> None:
    assert resistance_ohm(Platinum(100), degrees) == pytest.approx(ohms, abs=0.006)


@pytest.mark.parametrize(
    ("degrees", "ohms"),
    [(-20, 921.60), (-10, 960.86), (0, 1000.0), (25, 1097.35), (30, 1116.73), (40, 1155.41), (50, 1193.97)],
)
def test_a_thousand_ohm_sensor_has_ten_times_those(degrees: float, ohms: float) -> None:
    assert resistance_ohm(Platinum(), degrees) == pytest.approx(ohms, abs=0.005)


@pytest.mark.parametrize(
    ("b_kelvin", "at_0", "at_20", "at_30"), [(3435, 28_704, 12_171, 8_269), (3950, 33_621, 12_535, 8_037)]
)
def test_a_thermistor_follows_its_b_value(b_kelvin: float, at_0: float, at_20: float, at_30: float) -> None:
    sensor = Thermistor(10_000, b_kelvin)

    assert [resistance_ohm(sensor, degrees) for degrees in (0, 20, 25, 30)] == pytest.approx(
        [at_0, at_20, 10_000, at_30], abs=0.5
    )


@pytest.mark.parametrize("sensor", [Platinum(), Platinum(100), Thermistor(), Thermistor(5_000, 3950)])
def test_degrees_come_back_from_ohms(sensor: Platinum | Thermistor) -> None:
    for degrees in range(-50, 151):
        assert temperature_c(sensor, resistance_ohm(sensor, degrees)) == pytest.approx(degrees, abs=1e-9)


def test_platinum_comes_back_over_its_whole_range() -> None:
    for degrees in range(-200, 851, 10):
        assert temperature_c(Platinum(), resistance_ohm(Platinum(), degrees)) == pytest.approx(degrees, abs=1e-7)


@pytest.mark.parametrize("sensor", [Platinum(), Thermistor()])
def test_a_break_and_a_short_are_no_temperature(sensor: Platinum | Thermistor) -> None:
    assert temperature_c(sensor, 0.0) is None
    assert temperature_c(sensor, 1e9) is None


def test_leads_make_a_two_wire_sensor_read_warm() -> None:
    # 50 m of 0.75 mm2 there and back
    assert lead_error_k(Platinum(1000), 2.45) == pytest.approx(0.63, abs=0.01)
    assert lead_error_k(Platinum(100), 2.45) == pytest.approx(6.3, abs=0.05)


def test_the_grades_of_platinum_allow_more_away_from_zero() -> None:
    assert tolerance_k(0, "A") == 0.15
    assert tolerance_k(-100, "B") == pytest.approx(0.8)
    with pytest.raises(ValueError, match="grade is C; expected A or B"):
        tolerance_k(0, "C")  # type: ignore[arg-type]


def test_a_wrong_b_value_shows_nothing_at_25_degrees_and_more_away_from_it() -> None:
    fitted, set_as = Thermistor(10_000, 3950), Thermistor(10_000, 3435)

    assert shown_c(25, fitted, set_as) == pytest.approx(25)
    assert shown_c(0, fitted, set_as) == pytest.approx(-3.39, abs=0.01)
    assert shown_c(40, fitted, set_as) == pytest.approx(42.4, abs=0.1)


def test_a_platinum_sensor_on_a_thermistor_input_reads_very_hot() -> None:
    shown = shown_c(20, Platinum(1000), Thermistor(10_000, 3435))

    assert shown is not None
    assert shown > 90


def test_a_sensor_that_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="zero_ohm is 0"):
        resistance_ohm(Platinum(0), 20)
    with pytest.raises(ValueError, match="b_kelvin is -1"):
        resistance_ohm(Thermistor(10_000, -1), 20)
    with pytest.raises(ValueError, match="temperature_c is 900; expected -200 to 850"):
        resistance_ohm(Platinum(), 900)
