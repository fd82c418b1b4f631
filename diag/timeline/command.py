"""The values a timeline is made of: commands, spans in which one stands, refusals, and what is due next."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

MOVED = "moved"
"""The action of a command whose direction nobody said."""


@dataclass(frozen=True, slots=True)
class Command:
    """What one source asks of a zone: open, close, stop, step or moved.

    `source` is a part, or the command class when nobody knows which part. `level` is the one of 16 it is shown at.
    """

    command_class: str
    action: str
    source: str
    since: datetime
    level: int
    is_spent: bool = False
    """True: it moves nothing any more, but still keeps weaker commands out."""


@dataclass(frozen=True, slots=True)
class Due:
    """What changes next by itself, if nothing else is commanded: when, at which part, and what."""

    at: datetime
    part: str
    what: str
    """hold-off-over, lockout-over, lockout-begins, asks, open, close, automatic-on or automatic-off."""


@dataclass(frozen=True, slots=True)
class Span:
    """How long one command stood for a zone; None when nothing commanded it.

    `left_by` is the command that last moved the zone, where the standing one moves nothing. `holds_until` says when a
    hand command that keeps automatic out ends. A span without length is a command that was given once.
    """

    zone: str
    start: datetime
    end: datetime
    command: Command | None
    left_by: Command | None
    lockouts: tuple[str, ...]
    """Those that stood when it began."""
    holds_until: datetime | None


@dataclass(frozen=True, slots=True)
class Refusal:
    """A command that did not count when it was given, and what stood in its way.

    `reason` is lockout (`by` a lockout), outranked (`by` the stronger source), automatic-off (`by` what switched it
    off), nothing (`by` itself: it is set to do nothing so pressed) or in-alarm (a reset, while `by` is in alarm).
    """

    zone: str
    at: datetime
    command: Command
    reason: str
    by: str


@dataclass(frozen=True, slots=True)
class LockoutSpan:
    """How long a lockout stood."""

    lockout: str
    start: datetime
    end: datetime


@dataclass(frozen=True, slots=True)
class Timeline:
    """All that stood between two moments, for each zone in order of time."""

    start: datetime
    end: datetime
    spans: Mapping[str, tuple[Span, ...]]
    refusals: tuple[Refusal, ...]
    lockouts: tuple[LockoutSpan, ...]
    due: Mapping[str, Due | None]
    """What is due next for each zone after the end."""
    unheard: tuple[str, ...]
    """Lockouts whose condition nothing in the log tells; they were taken as clear."""


Record = Span | Refusal | LockoutSpan
