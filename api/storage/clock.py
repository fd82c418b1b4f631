"""Times as they are kept: RFC 3339 in UTC, to the millisecond."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta


def now_text() -> str:
    """Return the present time as it is kept."""
    return time_text(datetime.now(UTC))


def time_text(at: datetime) -> str:
    """Return a time with its zone as it is kept."""
    return at.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def later(**by: float) -> str:
    """Return the time that lies this much after now, such as `later(hours=12)`, as it is kept."""
    return time_text(datetime.now(UTC) + timedelta(**by))
