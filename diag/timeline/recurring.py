"""When time programmes run and when calendar lockouts begin and end."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, tzinfo

from diag.timeline.clock import ONE_DAY, moment_on

WEEK = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
SEARCHED_DAYS = 3660
YEARS_AHEAD = 9
"""From 29 February to the next it can be eight years."""


@dataclass(frozen=True, slots=True)
class DaysOfYear:
    """From one day of the year to another, both included, such as 11-01 to 02-28."""

    first: str
    last: str

    def has(self, day: date) -> bool:
        """Return whether a date falls on these days."""
        now = f"{day.month:02}-{day.day:02}"
        if self.first <= self.last:
            return self.first <= now <= self.last
        return now >= self.first or now <= self.last

    def next_edge(self, after: date) -> date:
        """Return the next date after this one on which it begins, or on which it has just ended."""
        for year in range(after.year, after.year + YEARS_AHEAD):
            edges = [it for it in (_on(year, self.first), _day_after(year, self.last)) if it and it > after]
            if edges:
                return min(edges)
        raise ValueError(f"no {self.first} or {self.last} comes after {after}")

    def last_before(self, day: date) -> date:
        """Return the latest of its last days before a date."""
        days = (_day_after(year, self.last) - ONE_DAY for year in (day.year, day.year - 1))
        return next(it for it in days if it < day)


@dataclass(frozen=True, slots=True)
class TimesOfDay:
    """From one time of day to another, which is the next day's when it is the earlier."""

    start: time
    end: time

    def has(self, at: datetime, zone: tzinfo) -> bool:
        """Return whether a moment falls between; of a time that comes twice the first counts."""
        today = at.astimezone(zone).date()
        nights = 1 if self.end < self.start else 0
        for day in (today - nights * ONE_DAY, today):
            if moment_on(day, self.start, zone) <= at < moment_on(day + nights * ONE_DAY, self.end, zone):
                return True
        return False

    def next_edge(self, after: datetime, zone: tzinfo) -> datetime:
        """Return the next moment at which it begins or ends."""
        today = after.astimezone(zone).date()
        edges = (moment_on(day, it, zone) for day in (today, today + ONE_DAY) for it in (self.start, self.end))
        return min(it for it in edges if it > after)


@dataclass(frozen=True, slots=True)
class Calendar:
    """The days and times in which a lockout may stand; None where it is not limited."""

    days: DaysOfYear | None
    times: TimesOfDay | None

    def has(self, at: datetime, zone: tzinfo) -> bool:
        """Return whether a moment falls on the days and between the times."""
        if self.days and not self.days.has(at.astimezone(zone).date()):
            return False
        return self.times is None or self.times.has(at, zone)

    def next_edge(self, after: datetime, zone: tzinfo) -> datetime:
        """Return the next moment at which it may begin or end."""
        edges = []
        if self.days:
            edges.append(moment_on(self.days.next_edge(after.astimezone(zone).date()), time(), zone))
        if self.times:
            edges.append(self.times.next_edge(after, zone))
        return min(edges)


@dataclass(frozen=True, slots=True)
class Programme:
    """A time of day on some days of the week, in some part of the year."""

    at: time
    weekdays: frozenset[int]
    days: DaysOfYear | None

    def next_run(self, after: datetime, zone: tzinfo) -> datetime | None:
        """Return its first run after a moment, or None when it never runs."""
        return next((it for it in self._runs(after.astimezone(zone).date(), 1, zone) if it > after), None)

    def last_run(self, until: datetime, zone: tzinfo) -> datetime | None:
        """Return its last run up to a moment, that moment included, or None."""
        return next((it for it in self._runs(until.astimezone(zone).date(), -1, zone) if it <= until), None)

    def _runs(self, day: date, step: int, zone: tzinfo) -> Iterator[datetime]:
        """Yield runs day by day, forward or back, over ten years at most; days out of season are jumped over."""
        for _ in range(SEARCHED_DAYS):
            if self.days and not self.days.has(day):
                day = self.days.next_edge(day) if step > 0 else self.days.last_before(day)
            if day.weekday() in self.weekdays and (self.days is None or self.days.has(day)):
                yield moment_on(day, self.at, zone)
            day += step * ONE_DAY


def _on(year: int, month_day: str) -> date | None:
    try:
        return date.fromisoformat(f"{year}-{month_day}")
    except ValueError:
        return None


def _day_after(year: int, month_day: str) -> date:
    return (_on(year, month_day) or date(year, 2, 28)) + ONE_DAY
