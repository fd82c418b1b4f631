"""The events that a timeline is played from, and how the events of a case become such."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo

from diag.observations import Event
from diag.timeline.clock import moment
from diag.timeline.command import MOVED

EVENTS: Mapping[str, str] = {
    "open": "asked to open; for a switch the value may say how many seconds it was pressed",
    "close": "asked to close; for a switch the value may say how many seconds it was pressed",
    "stop": "asked to stop",
    "step": "asked to move a little",
    "moved": "asked to move, direction not known",
    "on": "made, wet, hot, windy or in alarm",
    "off": "no longer so",
    "reading": "the value is what the sensor measures, in its own unit",
    "write": "the building link writes open, close, stop or 0 to 100 %",
    "relinquish": "the building link withdraws what it wrote",
    "reset": "smoke alarm reset",
    "automatic-on": "automatic switched on",
    "automatic-off": "automatic switched off",
}
"""Every event and what it means."""

MOVING_CLASSES = frozenset({"manual", "link", "schedule"})


@dataclass(frozen=True, slots=True)
class LogEvent:
    """One event: the moment, the part or command class it came from, what happened.

    `value` is a reading, seconds pressed, or a share in per cent; `zone` narrows it to one zone.
    """

    at: datetime
    source: str
    event: str
    value: float | None = None
    zone: str | None = None
    priority: int | None = None


def from_case(events: Iterable[Event], zones: Iterable[str], zone: tzinfo) -> Iterator[LogEvent]:
    """Yield the events of a case, given by the site's clock without offset, in order of time.

    A case says only of which class a command was: its direction stays unknown, and a condition counts as made.
    """
    known = frozenset(zones)
    for it in sorted(events):
        at = moment(it.at, zone) if it.at.tzinfo is None else it.at.astimezone(UTC)
        event = MOVED if it.command in MOVING_CLASSES else "on"
        of_zone = it.part if it.part in known else None
        source = it.command if of_zone or it.part is None else it.part
        yield LogEvent(at, source, event, zone=of_zone)
