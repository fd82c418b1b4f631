"""What stands for a zone at the time asked about: hold-off after a manual command, and lockouts by calendar.

`diag.timeline.standing` answers the same by replaying a described site. A case is often less than that: a zone that
nobody described, a command at no named part, no time at all. Here unknown stays unknown for these too; where a zone
is described and timed, both give the same answer.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from diag.observations import Event
from diag.site import Lockout

LONG_HOLD_OFF_MINUTES = 240.0


@dataclass(frozen=True, slots=True)
class HoldOff:
    """The hold-off of one zone: its state, and when automatic works again while it runs."""

    state: str
    resumes_at: datetime | None = None
    since: datetime | None = None


def hold_off(minutes: float | None, commands: Iterable[Event], at: datetime | None) -> HoldOff:
    """Return whether a manual command still keeps automatic out.

    State: none (no hold-off set), running, over, or unknown (no time, no command or no length known).
    The command given at the very end of its hold-off no longer holds.
    """
    if minutes == 0:
        return HoldOff("none")
    manual = [event.at for event in commands if event.command == "manual" and (at is None or event.at <= at)]
    if minutes is None or at is None or not manual:
        return HoldOff("unknown")
    last = max(manual)
    resumes_at = last + timedelta(minutes=minutes)
    if at < resumes_at:
        return HoldOff("running", resumes_at, last)
    return HoldOff("over", since=last)


def hold_off_length(minutes: float | None) -> str:
    """Return none, usual, long (over four hours) or unknown."""
    if minutes is None:
        return "unknown"
    if minutes == 0:
        return "none"
    return "long" if minutes > LONG_HOLD_OFF_MINUTES else "usual"


def lockout_state(lockout: Lockout, at: datetime | None, commands: Iterable[Event] = ()) -> str:
    """Return whether a lockout stands: standing, clear or unknown.

    Day and time of day tell for a season or a night; a command of its own class (rain, wind, smoke, maintenance)
    says that it stands. Nothing says that rain or wind is over, so without a command they stay unknown.
    """
    if any(event.command == lockout.kind for event in commands):
        return "standing"
    until_day = f"{lockout.until_day}+" if lockout.until_day else None  # the last day belongs to the span
    by_day = _within(lockout.from_day, until_day, at.strftime("%m-%d") if at else None)
    by_time = _within(lockout.from_time, lockout.until_time, at.strftime("%H:%M") if at else None)
    if "clear" in (by_day, by_time):
        return "clear"
    told = {by_day, by_time} - {None}
    return "standing" if told == {"standing"} and lockout.input is None else "unknown"


def _within(start: str | None, end: str | None, now: str | None) -> str | None:
    if start is None or end is None:
        return None
    if now is None:
        return "unknown"
    inside = start <= now < end if start <= end else now >= start or now < end
    return "standing" if inside else "clear"
