"""Days of the year, times of day and programmes, over new year, leap days and clock changes."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise

import pytest

from diag.timeline.clock import moment, zone_info
from diag.timeline.recurring import Calendar, DaysOfYear, Programme, TimesOfDay

LONDON = zone_info("Europe/London")
WINTER = DaysOfYear("11-01", "02-28")
NIGHT = TimesOfDay(time(22), time(6))
EVERY_DAY = frozenset(range(7))


def local(text: str) -> datetime:
    return moment(datetime.fromisoformat(text), LONDON)


@pytest.mark.parametrize(
    ("day", "inside"),
    [
        ("2026-10-31", False),
        ("2026-11-01", True),
        ("2027-02-28", True),
        ("2027-03-01", False),
        ("2028-02-29", False),
    ],
)
def test_winter_lasts_over_new_year_to_its_last_day(day: str, inside: bool) -> None:
    assert WINTER.has(date.fromisoformat(day)) is inside


def test_every_edge_is_where_the_days_change() -> None:
    """Compared with going through three years day by day."""
    for days in (WINTER, DaysOfYear("05-15", "09-15"), DaysOfYear("01-01", "02-29")):
        every = [date(2026, 1, 1) + timedelta(days=number) for number in range(1096)]
        changes = [day for before, day in pairwise(every) if days.has(before) != days.has(day)]
        edges = [every[0]]
        while (edge := days.next_edge(edges[-1])) <= every[-1]:
            edges.append(edge)

        assert edges[1:] == changes


def test_the_last_day_before_a_date_is_found_across_new_year() -> None:
    assert DaysOfYear("05-15", "09-15").last_before(date(2026, 2, 1)) == date(2025, 9, 15)
    assert DaysOfYear("12-01", "02-29").last_before(date(2026, 3, 5)) == date(2026, 2, 28)


@pytest.mark.parametrize(
    ("at", "inside"),
    [("21:59:59", False), ("22:00", True), ("23:59", True), ("05:59", True), ("06:00", False)],
)
def test_a_night_begins_and_ends_on_the_minute(at: str, inside: bool) -> None:
    assert NIGHT.has(local(f"2026-05-04 {at}"), LONDON) is inside


def test_times_within_one_day_do_not_last_over_night() -> None:
    working_hours = TimesOfDay(time(8), time(17))

    assert working_hours.has(local("2026-05-04 08:00"), LONDON)
    assert not working_hours.has(local("2026-05-04 17:00"), LONDON)
    assert not working_hours.has(local("2026-05-04 03:00"), LONDON)


@pytest.mark.parametrize(("day", "hours"), [("2026-03-28", 7), ("2026-10-24", 9), ("2026-05-04", 8)])
def test_a_night_of_clock_change_is_an_hour_shorter_or_longer(day: str, hours: int) -> None:
    begins = NIGHT.next_edge(local(f"{day} 12:00"), LONDON)

    assert NIGHT.next_edge(begins, LONDON) - begins == timedelta(hours=hours)


def test_a_lockout_that_ends_in_the_repeated_hour_does_not_begin_again() -> None:
    early = TimesOfDay(time(22), time(1, 30))

    assert not early.has(datetime(2026, 10, 25, 0, 30, tzinfo=UTC), LONDON)
    assert not early.has(datetime(2026, 10, 25, 1, 10, tzinfo=UTC), LONDON)


def test_days_and_times_both_count() -> None:
    calendar = Calendar(WINTER, NIGHT)

    assert calendar.has(local("2026-11-01 00:00"), LONDON)
    assert not calendar.has(local("2026-10-31 23:30"), LONDON)
    assert not calendar.has(local("2026-12-01 12:00"), LONDON)
    assert calendar.next_edge(local("2026-10-31 23:30"), LONDON) == local("2026-11-01 00:00")


def test_a_programme_runs_on_its_weekdays_only() -> None:
    tuesdays_and_fridays = Programme(time(7), frozenset({1, 4}), None)

    assert tuesdays_and_fridays.next_run(local("2026-05-05 07:00"), LONDON) == local("2026-05-08 07:00")
    assert tuesdays_and_fridays.last_run(local("2026-05-05 07:00"), LONDON) == local("2026-05-05 07:00")
    assert tuesdays_and_fridays.last_run(local("2026-05-05 06:59"), LONDON) == local("2026-05-01 07:00")


def test_a_programme_waits_for_its_season() -> None:
    summer = Programme(time(23), EVERY_DAY, DaysOfYear("05-15", "09-15"))

    assert summer.next_run(local("2026-09-15 23:00"), LONDON) == local("2027-05-15 23:00")
    assert summer.last_run(local("2026-02-01 12:00"), LONDON) == local("2025-09-15 23:00")


def test_a_programme_runs_once_in_the_repeated_hour_and_after_the_skipped_one() -> None:
    half_past_one = Programme(time(1, 30), EVERY_DAY, None)
    autumn, spring = local("2026-10-25 00:00"), local("2026-03-29 00:00")

    assert next_runs(half_past_one, autumn) == ["2026-10-25 00:30", "2026-10-26 01:30"]
    assert next_runs(half_past_one, spring) == ["2026-03-29 01:30", "2026-03-30 00:30"]


def next_runs(it: Programme, after: datetime) -> list[str]:
    """Return the next two runs in UTC."""
    found = []
    for _ in range(2):
        run = it.next_run(after, LONDON)
        assert run is not None
        found.append(f"{run:%Y-%m-%d %H:%M}")
        after = run
    return found


def test_a_programme_of_the_leap_day_is_found_years_ahead() -> None:
    leap_day = Programme(time(12), EVERY_DAY, DaysOfYear("02-29", "02-29"))

    assert leap_day.next_run(local("2026-03-01 00:00"), LONDON) == local("2028-02-29 12:00")


def test_a_programme_without_weekdays_never_runs() -> None:
    assert Programme(time(12), frozenset(), None).next_run(local("2026-03-01 00:00"), LONDON) is None
