"""Clock time and moments on days when the clock changes; the rule for unsure times is RFC 5545 section 3.3.5."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from diag.timeline.clock import changes_clock, comes_twice, day_length, is_skipped, moment, zone_info

LONDON = zone_info("Europe/London")
SPRING, AUTUMN = date(2026, 3, 29), date(2026, 10, 25)


def test_a_time_that_comes_twice_means_the_first_unless_the_second_is_asked_for() -> None:
    half_past_one = datetime(2026, 10, 25, 1, 30)

    assert moment(half_past_one, LONDON) == datetime(2026, 10, 25, 0, 30, tzinfo=UTC)
    assert moment(half_past_one, LONDON, is_second=True) == datetime(2026, 10, 25, 1, 30, tzinfo=UTC)


def test_a_skipped_time_is_read_with_the_offset_before_the_skip() -> None:
    assert moment(datetime(2026, 3, 29, 1, 30), LONDON).astimezone(LONDON).hour == 2


@pytest.mark.parametrize(
    ("local", "twice", "skipped"),
    [
        (datetime(2026, 10, 25, 0, 59), False, False),
        (datetime(2026, 10, 25, 1, 0), True, False),
        (datetime(2026, 10, 25, 1, 59), True, False),
        (datetime(2026, 10, 25, 2, 0), False, False),
        (datetime(2026, 3, 29, 0, 59), False, False),
        (datetime(2026, 3, 29, 1, 0), False, True),
        (datetime(2026, 3, 29, 1, 59), False, True),
        (datetime(2026, 3, 29, 2, 0), False, False),
    ],
)
def test_the_hours_of_change_are_told_from_their_neighbours(local: datetime, twice: bool, skipped: bool) -> None:
    assert (comes_twice(local, LONDON), is_skipped(local, LONDON)) == (twice, skipped)


def test_days_of_change_have_23_and_25_hours() -> None:
    assert [day_length(day, LONDON) / timedelta(hours=1) for day in (SPRING, AUTUMN)] == [23, 25]
    assert [changes_clock(day, LONDON) for day in (SPRING, AUTUMN, date(2026, 5, 4))] == [True, True, False]


def test_without_a_zone_the_clock_never_changes() -> None:
    assert not changes_clock(SPRING, zone_info(None))
