"""Read the times of an event log, by the site's clock or with an offset."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, tzinfo

from diag.timeline.clock import comes_twice, is_skipped, moment

FORM = "write it as 2026-05-04 10:05, and 10:05:30 or +01:00 if you need them"


class BadLogTime(ValueError):
    """A text that is no time of this clock; its own text says why."""


class LogTimes:
    """Reads one log's times in their order.

    A time that the clock shows twice is the first of the two unless that is before the line above; then it is the
    second. `read_as_second` counts how often that was so.
    """

    __slots__ = ("_offsets", "last", "read_as_second", "zone")

    def __init__(self, zone: tzinfo) -> None:
        self.zone = zone
        self.last: datetime | None = None
        self.read_as_second = 0
        self._offsets: dict[datetime, timedelta | None] = {}

    def read(self, text: str) -> datetime:
        """Return the moment in UTC; raise BadLogTime for what is no time, never came, or is out of order."""
        at = self._moment(text)
        if self.last and at < self.last:
            raise BadLogTime("it is earlier than the line above; put the lines in order of time")
        self.last = at
        return at

    def _moment(self, text: str) -> datetime:
        try:
            local = datetime.fromisoformat(text)
        except ValueError:
            raise BadLogTime(f"it is not a time; {FORM}") from None
        if len(text) < len("2026-05-04 10:05"):
            raise BadLogTime(f"the time of day is missing; {FORM}")
        if local.tzinfo:
            return local.astimezone(UTC)
        offset = self._offset(local.replace(minute=0, second=0, microsecond=0))
        if offset is not None:
            return local.replace(tzinfo=UTC) - offset
        return self._near_a_change(local)

    def _near_a_change(self, local: datetime) -> datetime:
        if is_skipped(local, self.zone):
            raise BadLogTime("the clock went forward past this time, so it never came; mend it or add its offset")
        first = moment(local, self.zone)
        if comes_twice(local, self.zone) and self.last and first < self.last:
            self.read_as_second += 1
            return moment(local, self.zone, is_second=True)
        return first

    def _offset(self, hour: datetime) -> timedelta | None:
        """Return the offset of a whole hour of the clock, or None in an hour in which it changes or that is unsure."""
        if hour not in self._offsets:
            ends = (hour, hour + timedelta(minutes=59, seconds=59))
            found = {it.replace(tzinfo=self.zone, fold=fold).utcoffset() for it in ends for fold in (0, 1)}
            self._offsets[hour] = found.pop() if len(found) == 1 else None
        return self._offsets[hour]
