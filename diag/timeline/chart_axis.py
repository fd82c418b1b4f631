"""Choose where a time axis has its ticks and what they say."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, time, timedelta, tzinfo

from diag.timeline.clock import ONE_DAY, changes_clock, moment_on

MINUTES = (1, 2, 5, 10, 15, 30, 60, 120, 180, 360, 720)
DAYS = (1, 2, 7, 14, 28, 91, 182, 364)
MOST_TICKS = 10

Tick = tuple[datetime, str]


def ticks(start: datetime, end: datetime, zone: tzinfo) -> list[Tick]:
    """Return moments and their labels, at most ten or so, at round times of the site's clock."""
    length = end - start
    for minutes in MINUTES:
        if length <= MOST_TICKS * timedelta(minutes=minutes):
            return list(_times(start, end, timedelta(minutes=minutes), zone))
    step = next((days for days in DAYS if length <= MOST_TICKS * timedelta(days=days)), 3640)
    return list(_days(start, end, step, zone))


def _times(start: datetime, end: datetime, step: timedelta, zone: tzinfo) -> Iterator[Tick]:
    """Yield ticks counted in elapsed time, so that an hour that comes twice has both of its ticks."""
    day = start.astimezone(zone).date()
    at = moment_on(day, time(), zone)
    at += (start - at) // step * step
    while at <= end:
        local = at.astimezone(zone)
        if at >= start:
            unsure = f" {local.tzname()}" if changes_clock(local.date(), zone) else ""
            yield at, f"{local:%H:%M}{unsure}"
        at += step


def _days(start: datetime, end: datetime, step: int, zone: tzinfo) -> Iterator[Tick]:
    day = start.astimezone(zone).date()
    while (at := moment_on(day, time(), zone)) <= end:
        if at >= start:
            yield at, f"{day.day} {day:%b}"
        day += step * ONE_DAY


def share(at: datetime, start: datetime, end: datetime) -> float:
    """Return how far a moment lies between two others, 0 to 1."""
    length = (end - start) / timedelta(seconds=1)
    return min(1.0, max(0.0, (at.astimezone(UTC) - start) / timedelta(seconds=1) / length)) if length else 0.0
