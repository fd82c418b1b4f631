"""Hold-off and lockouts at the time asked about.

That a manual command keeps automatic out for a set time, often 30 minutes, is common practice, no source.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from random import Random

import pytest

from diag.observations import Event
from diag.site import Lockout
from diag.standing import hold_off, hold_off_length, lockout_state
from diag.timeline.clock import moment
from diag.timeline.events import from_case
from diag.timeline.standing import standing_at
from tests.diag.timeline.told import medium

FIVE_PAST = datetime(2026, 5, 4, 10, 5)
BY_HAND = [Event(FIVE_PAST, "manual")]


def test_a_manual_command_keeps_automatic_out_until_its_hold_off_ends() -> None:
    now = hold_off(30, BY_HAND, FIVE_PAST + timedelta(minutes=12))

    assert (now.state, now.resumes_at) == ("running", datetime(2026, 5, 4, 10, 35))


@pytest.mark.parametrize(("minutes", "state"), [(29.99, "running"), (30, "over"), (31, "over")])
def test_automatic_works_again_at_the_very_end(minutes: float, state: str) -> None:
    assert hold_off(30, BY_HAND, FIVE_PAST + timedelta(minutes=minutes)).state == state


def test_the_last_manual_command_counts() -> None:
    later = Event(FIVE_PAST + timedelta(minutes=20), "manual")

    assert hold_off(30, [*BY_HAND, later], FIVE_PAST + timedelta(minutes=31)).state == "running"


def test_an_automatic_command_starts_no_hold_off() -> None:
    assert hold_off(30, [Event(FIVE_PAST, "automatic")], FIVE_PAST).state == "unknown"


def test_a_command_after_the_time_asked_about_does_not_count() -> None:
    assert hold_off(30, BY_HAND, FIVE_PAST - timedelta(minutes=1)).state == "unknown"


def test_without_a_length_or_a_time_nothing_is_claimed() -> None:
    assert hold_off(None, BY_HAND, FIVE_PAST).state == "unknown"
    assert hold_off(30, BY_HAND, None).state == "unknown"
    assert hold_off(0, BY_HAND, FIVE_PAST).state == "none"


def test_more_than_four_hours_is_a_long_hold_off() -> None:
    assert [hold_off_length(it) for it in (None, 0, 30, 240, 241)] == ["unknown", "none", "usual", "usual", "long"]


@pytest.mark.parametrize(
    ("day", "state"),
    [("2026-10-31", "clear"), ("2026-11-01", "standing"), ("2027-02-28", "standing"), ("2027-03-01", "clear")],
)
def test_a_season_lockout_stands_from_its_first_to_its_last_day_over_new_year(day: str, state: str) -> None:
    season = Lockout(kind="season", from_day="11-01", until_day="02-28")

    assert lockout_state(season, datetime.fromisoformat(f"{day}T12:00")) == state


def test_a_night_lockout_ends_at_its_time() -> None:
    night = Lockout(kind="night", from_time="22:00", until_time="06:00")

    assert lockout_state(night, datetime(2026, 5, 4, 5, 59)) == "standing"
    assert lockout_state(night, datetime(2026, 5, 4, 6, 0)) == "clear"


def test_a_rain_lockout_cannot_be_told_from_the_calendar() -> None:
    assert lockout_state(Lockout(kind="rain", input="rain1"), datetime(2026, 5, 4)) == "unknown"


def test_rain_that_was_reported_makes_its_lockout_stand() -> None:
    assert lockout_state(Lockout(kind="rain"), FIVE_PAST, [Event(FIVE_PAST, "rain")]) == "standing"


@pytest.mark.parametrize("zone", ["zn", "zs", "za", "zd"])
def test_the_hold_off_is_that_of_the_timeline_replayed(zone: str) -> None:
    plan, minutes, random = medium(), medium().site.zones[zone].hold_off_minutes, Random(zone)
    for _ in range(40):
        told = [Event(FIVE_PAST + timedelta(minutes=random.randrange(120)), "manual", zone) for _ in range(2)]
        now = FIVE_PAST + timedelta(minutes=random.randrange(240))
        replayed = standing_at(plan, from_case(told, plan.zones, plan.time_zone), moment(now, plan.time_zone), (zone,))
        here, there = hold_off(minutes, told, now), replayed[zone].hold_off

        assert here.state == there.state
        assert (here.resumes_at and moment(here.resumes_at, plan.time_zone)) == there.resumes_at


def test_a_lockout_by_season_is_that_of_the_timeline_replayed() -> None:
    plan, states = medium(), set()
    for day in range(0, 365, 5):
        now = datetime(2026, 1, 1, 12, 0) + timedelta(days=day)
        there = standing_at(plan, [], moment(now, plan.time_zone), ("zn",))["zn"].lockouts["lo-season"]
        states.add(there)

        assert lockout_state(plan.site.lockouts["lo-season"], now) == there

    assert states == {"standing", "clear"}
