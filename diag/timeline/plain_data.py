"""Give a timeline as plain data, times with the offset of the site's clock."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any

from diag.timeline.command import Command, Due, LockoutSpan, Refusal, Span, Timeline
from diag.timeline.plan import Plan
from diag.timeline.sentences import tell_refusal

Data = dict[str, Any]


def timeline_data(plan: Plan, timeline: Timeline, zones: Sequence[str], notes: Iterable[str] = ()) -> Data:
    """Return what JSON can carry: spans, refusals and what is due, by zone; lockouts and notes besides."""
    return {
        "site": plan.site.name,
        "start": _time(plan, timeline.start),
        "end": _time(plan, timeline.end),
        "zones": {zone: _zone(plan, timeline, zone) for zone in zones},
        "lockouts": [_lockout(plan, it) for it in timeline.lockouts],
        "notes": list(notes),
    }


def _zone(plan: Plan, timeline: Timeline, zone: str) -> Data:
    due = timeline.due[zone]
    return {
        "spans": [_span(plan, it) for it in timeline.spans[zone]],
        "refused": [_refusal(plan, it) for it in timeline.refusals if it.zone == zone],
        "due": _due(plan, due) if due else None,
    }


def _span(plan: Plan, it: Span) -> Data:
    return {
        "start": _time(plan, it.start),
        "end": _time(plan, it.end),
        "command": _command(plan, it.command),
        "left_by": _command(plan, it.left_by),
        "lockouts": list(it.lockouts),
        "holds_until": _time(plan, it.holds_until) if it.holds_until else None,
    }


def _command(plan: Plan, it: Command | None) -> Data | None:
    if it is None:
        return None
    return {
        "class": it.command_class,
        "action": it.action,
        "source": it.source,
        "since": _time(plan, it.since),
        "level": it.level,
        "moves": not it.is_spent,
    }


def _refusal(plan: Plan, it: Refusal) -> Data:
    return {
        "at": _time(plan, it.at),
        "command": _command(plan, it.command),
        "reason": it.reason,
        "by": it.by,
        "says": tell_refusal(plan, it),
    }


def _lockout(plan: Plan, it: LockoutSpan) -> Data:
    return {"lockout": it.lockout, "start": _time(plan, it.start), "end": _time(plan, it.end)}


def _due(plan: Plan, it: Due) -> Data:
    return {"at": _time(plan, it.at), "part": it.part, "what": it.what}


def _time(plan: Plan, at: datetime) -> str:
    return at.astimezone(plan.time_zone).isoformat()
