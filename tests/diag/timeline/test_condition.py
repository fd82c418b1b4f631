"""Limits with dead band, delay and release."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from diag.timeline.condition import Condition
from diag.timeline.plan import Threshold

NOON = datetime(2026, 5, 4, 12, tzinfo=UTC)


def condition(
    limit: float = 23, dead_band: float = 2, delay: float = 0, release: float = 0, upper: bool = True
) -> Condition:
    return Condition(Threshold(limit, upper, dead_band, timedelta(minutes=delay), timedelta(minutes=release)))


def states(it: Condition, *readings: float) -> list[bool | None]:
    found = []
    for reading in readings:
        it.read(reading, NOON)
        found.append(it.stands)
    return found


def test_nothing_is_known_until_a_reading_is_beyond_the_limit_or_back() -> None:
    assert states(condition(), 22, 23, 22, 21.1, 21, 22.9) == [None, True, True, True, False, False]


def test_without_dead_band_the_limit_itself_counts_as_beyond() -> None:
    assert states(condition(dead_band=0), 22.9, 23, 22.9) == [False, True, False]


def test_a_lower_limit_acts_downwards() -> None:
    assert states(condition(limit=5, upper=False), 6, 5, 6.9, 7, 6) == [None, True, True, False, False]


def test_a_demand_begins_after_its_delay() -> None:
    it = condition(delay=3)

    assert not it.read(24, NOON)
    assert it.due == NOON + timedelta(minutes=3)
    assert not it.pass_time(NOON + timedelta(minutes=2))
    assert it.pass_time(NOON + timedelta(minutes=3))
    assert it.stands


def test_a_demand_that_goes_within_its_delay_never_begins() -> None:
    it = condition(delay=3)
    it.read(24, NOON)
    it.read(20, NOON + timedelta(minutes=2))

    assert not it.pass_time(NOON + timedelta(minutes=3))
    assert it.stands is False


def test_a_lockout_stands_until_its_release_is_over() -> None:
    it = condition(release=15)
    it.make(True, NOON)
    it.make(False, NOON + timedelta(minutes=5))

    assert it.stands
    assert it.pass_time(NOON + timedelta(minutes=20))
    assert it.stands is False


def test_rain_again_within_the_release_starts_the_release_anew() -> None:
    it = condition(release=15)
    it.make(True, NOON)
    it.make(False, NOON + timedelta(minutes=5))

    assert not it.make(True, NOON + timedelta(minutes=10))
    assert (it.due, it.since) == (None, NOON)
    it.make(False, NOON + timedelta(minutes=12))
    assert it.due == NOON + timedelta(minutes=27)


def test_a_repeated_reading_does_not_put_the_end_of_a_delay_off() -> None:
    it = condition(delay=3)
    it.read(24, NOON)
    it.read(25, NOON + timedelta(minutes=2))

    assert it.due == NOON + timedelta(minutes=3)


def test_without_a_limit_a_reading_tells_nothing() -> None:
    it = Condition(Threshold(None, True, 0, timedelta(0), timedelta(0)))

    assert states(it, 5, 500) == [None, None]
