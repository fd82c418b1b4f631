"""How long openings take and how far they get."""

import pytest

from diag.calculators.travel import (
    Travel,
    full_travel_s,
    position_after_mm,
    reached_share,
    run_time_needed_s,
    slower_by,
    smoke_verdict,
    speed_at_voltage_mm_s,
)


def test_full_travel_is_stroke_over_speed() -> None:
    assert full_travel_s(Travel(500, 8)) == 62.5


def test_an_opening_limit_shortens_the_way() -> None:
    assert full_travel_s(Travel(500, 8, limit_share=0.2)) == 12.5
    assert full_travel_s(Travel(500, 8, limit_share=0.0)) == 0.0


def test_six_hundred_millimetres_in_sixty_seconds_takes_ten_a_second() -> None:
    assert smoke_verdict(600, 10).is_soon_enough
    assert smoke_verdict(600, 9.9).needed_speed_mm_s == 10.0
    assert not smoke_verdict(600, 9.9).is_soon_enough


def test_a_delay_eats_into_the_sixty_seconds() -> None:
    verdict = smoke_verdict(600, 10, delay_s=5)

    assert verdict.takes_s == 65
    assert verdict.needed_speed_mm_s == pytest.approx(600 / 55)
    assert smoke_verdict(600, 10, delay_s=60).needed_speed_mm_s == float("inf")


def test_a_movement_stops_at_its_ends_and_its_limit() -> None:
    travel = Travel(500, 10, limit_share=0.5)

    assert position_after_mm(travel, 0, 12, is_opening=True) == 120
    assert position_after_mm(travel, 100, 60, is_opening=True) == 250
    assert position_after_mm(travel, 100, 60, is_opening=False) == 0
    assert position_after_mm(travel, 400, 5, is_opening=True) == 400


def test_a_run_time_too_short_stops_part_way() -> None:
    assert reached_share(Travel(500, 10), 30) == 0.6
    assert reached_share(Travel(500, 10), 90) == 1.0
    assert run_time_needed_s(Travel(500, 10)) == pytest.approx(55)


def test_a_slow_movement_is_told_as_a_share() -> None:
    assert slower_by(40, 50) == 0.25
    assert slower_by(40, 40) == 0.0


def test_a_plain_drive_slows_down_with_its_voltage() -> None:
    assert speed_at_voltage_mm_s(10, 24, 21) == pytest.approx(8.75)


@pytest.mark.parametrize(
    ("travel", "named"),
    [
        (Travel(0, 10), "stroke_mm is 0"),
        (Travel(500, 0), "speed_mm_s is 0"),
        (Travel(500, 10, 1.5), "limit_share is 1.5; expected 0 to 1"),
    ],
)
def test_a_travel_that_cannot_be_is_refused(travel: Travel, named: str) -> None:
    with pytest.raises(ValueError, match=named):
        full_travel_s(travel)
