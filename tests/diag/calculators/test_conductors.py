"""Copper cables: the table, temperature, and volts lost along the way."""

import pytest

from diag.calculators.conductors import (
    known_areas_mm2,
    longest_run_m,
    loop_resistance_ohm,
    maximum_resistance_ohm_per_km,
    smallest_area_mm2,
    temperature_factor,
    voltage_drop_v,
)


@pytest.mark.parametrize(
    ("area_mm2", "stranded", "flexible"),
    [
        (0.5, 36.0, 39.0),
        (0.75, 24.5, 26.0),
        (1.0, 18.1, 19.5),
        (1.5, 12.1, 13.3),
        (2.5, 7.41, 7.98),
        (4.0, 4.61, 4.95),
        (6.0, 3.08, 3.30),
        (10.0, 1.83, 1.91),
        (16.0, 1.15, 1.21),
    ],
)
def test_maximum_resistance_is_that_of_iec_60228(area_mm2: float, stranded: float, flexible: float) -> None:
    assert maximum_resistance_ohm_per_km(area_mm2, 1) == stranded
    assert maximum_resistance_ohm_per_km(area_mm2, 2) == stranded
    assert maximum_resistance_ohm_per_km(area_mm2, 5) == flexible


def test_the_areas_of_the_table_can_be_asked_for() -> None:
    assert known_areas_mm2() == (0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0)
    with pytest.raises(ValueError, match="conductor_class is 6"):
        known_areas_mm2(6)


def test_every_maximum_is_above_pure_copper_of_that_area() -> None:
    # IEC 60028: annealed copper has 17.241 ohm per km at 1 mm2; the area named is nominal, hence the margin
    for area_mm2 in (0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0):
        pure = 17.241 / area_mm2
        assert pure < maximum_resistance_ohm_per_km(area_mm2, 2) < pure * 1.10


@pytest.mark.parametrize(
    ("temperature_c", "factor"), [(-10, 0.8821), (0, 0.9214), (20, 1.0), (50, 1.1179), (70, 1.1965)]
)
def test_resistance_follows_temperature(temperature_c: float, factor: float) -> None:
    # the coefficient of annealed copper, 0.00393 per kelvin (NBS Handbook 100)
    assert temperature_factor(temperature_c) == pytest.approx(1 + 0.00393 * (temperature_c - 20), rel=3e-4)
    assert temperature_factor(temperature_c) == pytest.approx(factor, abs=5e-5)


def test_the_reducing_factors_of_the_cable_trade_agree_within_their_rounder_coefficient() -> None:
    # the table reproduced with IEC 60228 uses 0.004 per kelvin: 0.893 brings a reading at 50 degrees to 20
    assert 1 / temperature_factor(50) == pytest.approx(0.893, rel=3e-3)


def test_a_published_drop_of_a_thin_cable_is_met() -> None:
    # NEC chapter 9 table 8: 16 AWG has 4.99 ohm per 1000 ft; 100 ft at 4 A loses 3.992 V, 16.63 % of 24 V
    loop_ohm = 2 * 4.99 * 100 / 1000
    area_that_matches_ohm_per_km = 4.99 / 0.3048
    length_m = 30.48

    drop = voltage_drop_v(4.0, length_m, 1.5) * area_that_matches_ohm_per_km / 12.1

    assert loop_ohm * 4.0 == pytest.approx(3.992)
    assert drop == pytest.approx(3.992)
    assert drop / 24 == pytest.approx(0.1663, abs=5e-5)


@pytest.mark.parametrize(
    ("area_mm2", "published_mv_per_a_m"), [(1.5, 29), (2.5, 18), (4, 11), (6, 7.3), (10, 4.4), (16, 2.8)]
)
def test_the_drops_of_the_british_wiring_rules_are_met(area_mm2: float, published_mv_per_a_m: float) -> None:
    # BS 7671 appendix 4, table 4D1B, two-core d.c. at 70 degrees, from memory; printed to two digits
    assert 1000 * voltage_drop_v(1.0, 1.0, area_mm2, 2, 70.0) == pytest.approx(published_mv_per_a_m, rel=0.02)


def test_a_run_of_sixty_metres_loses_its_known_volts() -> None:
    assert loop_resistance_ohm(60, 2.5) == pytest.approx(0.8892)
    assert voltage_drop_v(4.0, 60, 2.5) == pytest.approx(3.5568)


def test_a_warm_flexible_cable_loses_more() -> None:
    assert voltage_drop_v(2.5, 30, 1.5, conductor_class=5) == pytest.approx(1.995)
    assert voltage_drop_v(2.5, 30, 1.5, conductor_class=5, temperature_c=50) == pytest.approx(2.230, abs=5e-4)


def test_the_longest_run_loses_exactly_what_is_allowed() -> None:
    length_m = longest_run_m(4.0, 2.4, 2.5)

    assert length_m == pytest.approx(40.49, abs=5e-3)
    assert voltage_drop_v(4.0, length_m, 2.5) == pytest.approx(2.4)


def test_the_smallest_area_is_the_first_that_keeps_within_the_drop() -> None:
    assert smallest_area_mm2(4.0, 60, 2.4) == 4.0
    assert voltage_drop_v(4.0, 60, 4.0) <= 2.4 < voltage_drop_v(4.0, 60, 2.5)
    assert smallest_area_mm2(40.0, 600, 1.0) is None


@pytest.mark.parametrize(
    ("arguments", "named"),
    [
        ({"area_mm2": 1.6}, "area_mm2 is 1.6; expected one of 0.5, 0.75"),
        ({"area_mm2": 1.5, "conductor_class": 3}, "conductor_class is 3; expected 1, 2 or 5"),
        ({"area_mm2": 1.5, "temperature_c": 900}, "temperature_c is 900; expected -60 to 250"),
        ({"area_mm2": 1.5, "length_m": -1}, "length_m is -1; expected 0 or above"),
        ({"area_mm2": 1.5, "length_m": float("nan")}, "length_m is nan; expected an ordinary number"),
    ],
)
def test_an_argument_that_cannot_be_is_refused_by_name(arguments: dict[str, float], named: str) -> None:
    with pytest.raises(ValueError, match=named):
        loop_resistance_ohm(**{"length_m": 10, **arguments})  # type: ignore[arg-type]


def test_a_longest_run_needs_a_current() -> None:
    with pytest.raises(ValueError, match="current_a is 0; expected above 0"):
        longest_run_m(0, 2.4, 2.5)
