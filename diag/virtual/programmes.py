"""Time programmes as a controller's clock runs them: what ran last for a zone, and what falls due in a span."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, time, timedelta

from diag.site import Schedule
from diag.topology import Topology
from diag.virtual.fitted import Fitted

WEEK = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
LOOK_BACK_DAYS = 8
"""A programme that runs on one day of the week has run within so many days."""


@dataclass(frozen=True, slots=True, order=True)
class Run:
    """A programme that ran: when by the true clock, and what it did."""

    at: datetime
    part: str
    does: str


def last_run(topology: Topology, fitted: Fitted, zone: str, at: datetime) -> Run | None:
    """Return what the zone's programmes did last, or None when nothing ran of late."""
    return max(runs_of(topology, fitted, zone, at - timedelta(days=LOOK_BACK_DAYS), at), default=None)


def runs_of(topology: Topology, fitted: Fitted, zone: str, after: datetime, until: datetime) -> Iterator[Run]:
    """Yield what the zone's programmes do after one moment and until another, by the clock and times really set."""
    it = fitted.zones[zone]
    if it.programme == "missing":
        return
    for part in topology.schedules_of_zone(zone):
        described = topology.site.schedules[part]
        late = timedelta(minutes=it.programme_late_min - _clock_ahead_min(topology, fitted, zone))
        for at in _times(described, after - late, until - late):
            yield Run(at + late, part, described.does or "nothing")


def _times(it: Schedule, after: datetime, until: datetime) -> Iterator[datetime]:
    if it.at is None or it.does is None:
        return
    day = after.date()
    while day <= until.date():
        at = datetime.combine(day, time.fromisoformat(it.at))
        if after < at <= until and _is_its_day(it, at):
            yield at
        day += timedelta(days=1)


def _is_its_day(it: Schedule, at: datetime) -> bool:
    if it.days is not None and WEEK[at.weekday()] not in it.days:
        return False
    return within_days(it.from_day, it.until_day, at.strftime("%m-%d"))


def within_days(start: str | None, end: str | None, today: str) -> bool:
    """Return whether a day of the year lies in a span, over the turn of the year or not; both ends belong to it."""
    if start is None or end is None:
        return True
    return start <= today <= end if start <= end else today >= start or today <= end


def _clock_ahead_min(topology: Topology, fitted: Fitted, zone: str) -> float:
    """Return the minutes by which the clock of the zone's controller is ahead."""
    inputs = [topology.site.inputs[it].controller for it in topology.inputs_of_zone(zone)]
    known = [it for it in inputs if it] or list(fitted.controllers)
    return fitted.controllers[known[0]].clock_off_minutes if known else 0.0
