"""Read the short texts that name a symptom, a finding, a command or a time on a command line or in a story."""

from __future__ import annotations

import re
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from diag.errors import BadTime, DiagError
from diag.observations import THINK_SO, Event, Finding, Observed

CLOCK = re.compile(r"([01]?[0-9]|2[0-3])[:.]([0-5][0-9])")
AGO = re.compile(r"(\d{1,4}) ?min(utes?)?( ago)?")
NOT_QUITE_SURE = "~"
"""Behind an outcome: "I think so". Shells leave it alone there."""


class BadCaseText(DiagError):
    """A short text that is not of the form asked for."""

    def __init__(self, found: str, form: str) -> None:
        self.found = found
        super().__init__(f"“{found}” cannot be read; write it as {form}.")


def read_symptom(text: str) -> Observed:
    """Return the symptom of `ID` or `ID@PART`."""
    symptom, part = _split_part(text)
    if not symptom:
        raise BadCaseText(text, "SYMPTOM or SYMPTOM@PART, such as drive-dead@d1")
    return Observed(symptom, part)


def read_finding(text: str) -> Finding:
    """Return the finding of `CHECK=OUTCOME` or `CHECK@PART=OUTCOME`; the outcome may be a reading such as 22.8V.

    A `~` behind the outcome says that somebody only thinks so.
    """
    name, equals, outcome = text.partition("=")
    check, part = _split_part(name)
    said = outcome.strip().removesuffix(NOT_QUITE_SURE).strip()
    if not equals or not check or not said:
        raise BadCaseText(text, "CHECK=OUTCOME or CHECK@PART=OUTCOME, such as volts-drive@d1=none")
    return Finding(check, said, part, THINK_SO if outcome.strip().endswith(NOT_QUITE_SURE) else 1.0)


def read_event(text: str, at: datetime) -> Event:
    """Return the command of `TIME=CLASS` or `TIME=CLASS@PART`; a time of day is the last one before `at`."""
    when, equals, command = text.partition("=")
    command_class, part = _split_part(command)
    if not equals or not command_class:
        raise BadCaseText(text, "TIME=CLASS or TIME=CLASS@PART, such as 10:05=manual@z1")
    return Event(read_time(when, at), command_class, part)


def read_time(text: str, before: datetime) -> datetime:
    """Return the time of `10:05` (the last one before), `12 min ago`, or a full date and time; raise BadTime."""
    said = text.strip().lower()
    if clock := CLOCK.fullmatch(said):
        at = datetime.combine(before.date(), time(int(clock[1]), int(clock[2])))
        return at if at <= before else at - timedelta(days=1)
    if ago := AGO.fullmatch(said):
        return before - timedelta(minutes=int(ago[1]))
    try:
        return datetime.fromisoformat(text.strip()).replace(tzinfo=None)
    except ValueError:
        raise BadTime(text) from None


def read_now(text: str | None, today: date, time_zone: str | None = None) -> datetime | None:
    """Return the time asked about, in the site's own clock: a time of day belongs to `today`."""
    if text is None:
        return None
    if clock := CLOCK.fullmatch(text.strip()):
        return datetime.combine(today, time(int(clock[1]), int(clock[2])))
    try:
        at = datetime.fromisoformat(text.strip())
    except ValueError:
        raise BadTime(text) from None
    if at.tzinfo is not None and time_zone:
        at = at.astimezone(ZoneInfo(time_zone))
    return at.replace(tzinfo=None)


def _split_part(text: str) -> tuple[str, str | None]:
    name, _, part = text.strip().partition("@")
    return name.strip(), part.strip() or None
