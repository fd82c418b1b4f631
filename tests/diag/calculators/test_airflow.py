"""Air by warmth and wind, and whether an opening is enough at all."""

import pytest

from diag.calculators.airflow import (
    area_in_series_m2,
    carbon_dioxide_above_outdoor_ppm,
    flow_for_heat_m3_s,
    flow_for_people_m3_s,
    hinged_free_area_m2,
    opening_verdict,
    rise_for_heat_k,
    single_sided_flow_m3_h,
    stack_flow_m3_s,
    together_m3_s,
    two_way_discharge,
    wind_flow_m3_s,
)


def test_the_stack_formula_of_the_handbook_gives_its_flow() -> None:
    # ASHRAE Fundamentals, ventilation and infiltration: Cd A sqrt(2 g H dT / Ti), 1 m2, 3 m, 23 and 13 degrees
    assert stack_flow_m3_s(1.0, 3.0, 23, 13) == pytest.approx(0.916, abs=1e-3)
    assert two_way_discharge(23, 13) == pytest.approx(0.445)
    assert stack_flow_m3_s(1.0, 3.0, 23, 13, two_way_discharge(23, 13)) == pytest.approx(0.627, abs=1e-3)


def test_air_falls_when_it_is_warmer_outside() -> None:
    assert stack_flow_m3_s(1.0, 3.0, 13, 23) == -stack_flow_m3_s(1.0, 3.0, 23, 13)
    assert stack_flow_m3_s(1.0, 3.0, 20, 20) == 0.0


def test_wind_square_to_the_wall_gives_its_flow() -> None:
    assert wind_flow_m3_s(1.0, 3.0) == pytest.approx(1.65)


def test_warmth_and_wind_together_are_less_than_their_sum() -> None:
    assert together_m3_s(0.3, 0.4) == pytest.approx(0.5)


def test_openings_one_after_another_pass_less_than_the_smaller() -> None:
    # CIBSE AM10: 1/A^2 adds
    assert area_in_series_m2(1.0, 1.0) == pytest.approx(2**-0.5)
    assert area_in_series_m2(0.3, 0.4) == pytest.approx(0.24)
    assert area_in_series_m2(0.5, 0.0) == 0.0
    assert area_in_series_m2(0.5) == pytest.approx(0.5)


def test_one_sided_airing_follows_en_16798_7() -> None:
    # 1 m2, 3 m/s, 1.2 m high, 10 K: the warmth term governs
    assert single_sided_flow_m3_h(1.0, 3.0, 1.2, 20, 10) == pytest.approx(368.9, abs=0.1)
    assert single_sided_flow_m3_h(1.0, 8.0, 1.2, 20, 10) == pytest.approx(1800 * 0.064**0.5)


def test_a_sash_never_frees_more_than_its_frame() -> None:
    assert hinged_free_area_m2(1.2, 1.0, 0.1) == pytest.approx(0.22)
    assert hinged_free_area_m2(1.2, 1.0, 0.9) == pytest.approx(1.2)


def test_heat_and_air_balance() -> None:
    flow = flow_for_heat_m3_s(3_000, 4)

    assert flow == pytest.approx(3_000 / (1.2 * 1005 * 4))
    assert rise_for_heat_k(3_000, flow) == pytest.approx(4)


@pytest.mark.parametrize(("litres_s", "ppm"), [(10, 555.6), (7, 793.7), (4, 1388.9)])
def test_carbon_dioxide_settles_where_breath_and_air_balance(litres_s: float, ppm: float) -> None:
    # the categories of EN 16798-1 (550, 800, 1350 ppm) lie at these flows for 20 l/h a person
    assert carbon_dioxide_above_outdoor_ppm(1, litres_s / 1000) == pytest.approx(ppm, abs=0.05)
    assert flow_for_people_m3_s(1, ppm) * 1000 == pytest.approx(litres_s, rel=1e-4)


def test_an_opening_too_small_is_not_enough_whatever_the_control_does() -> None:
    needs = flow_for_heat_m3_s(6_000, 3)
    small = opening_verdict(stack_flow_m3_s(0.2, 2.0, 28, 25), needs)

    assert not small.is_enough
    assert small.share == pytest.approx(small.passes_m3_s / needs)
    assert opening_verdict(stack_flow_m3_s(10.0, 2.0, 28, 25), needs).is_enough
    assert opening_verdict(0.1, 0.0).share == float("inf")


def test_arguments_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match="area_m2 is -1"):
        stack_flow_m3_s(-1, 3, 23, 13)
    with pytest.raises(ValueError, match="discharge is 2; expected 0 to 1"):
        stack_flow_m3_s(1, 3, 23, 13, 2)
    with pytest.raises(ValueError, match="areas_m2 is empty"):
        area_in_series_m2()
    with pytest.raises(ValueError, match="rise_k is 0"):
        flow_for_heat_m3_s(100, 0)
