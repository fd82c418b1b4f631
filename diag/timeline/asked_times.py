"""Read the times somebody asks about: date and time, or the time of a day of the log."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, time

from diag.errors import BadTime
from diag.timeline.clock import moment
from diag.timeline.events import LogEvent
from diag.timeline.plan import Plan

FULL_DATE = len("2026-05-04")


def read_moment(plan: Plan, text: str, events: Sequence[LogEvent]) -> datetime:
    """Return the moment a text means by the site's clock, or raise BadTime.

    A time of day alone belongs to the day of the log's first event, or to today where there is none.
    """
    zone = plan.time_zone
    try:
        if len(text) >= FULL_DATE:
            local = datetime.fromisoformat(text)
        else:
            day = events[0].at.astimezone(zone).date() if events else datetime.now(zone).date()
            local = datetime.combine(day, time.fromisoformat(text))
        return local.astimezone(UTC) if local.tzinfo else moment(local, zone)
    except (ValueError, OverflowError):
        raise BadTime(text) from None
