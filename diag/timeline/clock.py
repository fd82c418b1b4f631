"""Turn the clock on the wall into moments and back, on days when the clock changes as well.

Moments are datetimes in UTC. A clock time that comes twice means the first; one that the clock skips is read with the
offset before the skip, as RFC 5545 section 3.3.5 has it (from memory).
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta, tzinfo
from zoneinfo import ZoneInfo

ONE_DAY = timedelta(days=1)


def zone_info(name: str | None) -> tzinfo:
    """Return the time zone of that name; without a name UTC, whose clock never changes."""
    return ZoneInfo(name) if name else UTC


def moment(local: datetime, zone: tzinfo, is_second: bool = False) -> datetime:
    """Return the moment of a clock time without offset; `is_second` asks for the later of two."""
    return local.replace(tzinfo=zone, fold=int(is_second)).astimezone(UTC)


def moment_on(day: date, clock: time, zone: tzinfo) -> datetime:
    """Return the moment of a time of day on a date."""
    return moment(datetime.combine(day, clock), zone)


def comes_twice(local: datetime, zone: tzinfo) -> bool:
    """Return whether the clock shows this time twice, the clock having gone back."""
    first, second = moment(local, zone), moment(local, zone, is_second=True)
    return first < second and not is_skipped(local, zone)


def is_skipped(local: datetime, zone: tzinfo) -> bool:
    """Return whether the clock never shows this time, having gone forward."""
    return moment(local, zone).astimezone(zone).replace(tzinfo=None) != local


def changes_clock(day: date, zone: tzinfo) -> bool:
    """Return whether a day has more or fewer than 24 hours."""
    return day_length(day, zone) != ONE_DAY


def day_length(day: date, zone: tzinfo) -> timedelta:
    """Return how long a day is, from its first moment to that of the next."""
    return moment_on(day + ONE_DAY, time(), zone) - moment_on(day, time(), zone)
