"""Tell a timeline in plain sentences, zone by zone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from diag.timeline.command import Command, Due, Refusal, Span, Timeline
from diag.timeline.names import capital, clock_from, name_of
from diag.timeline.plan import Plan

DONE = {"open": "opened", "close": "closed", "stop": "stopped", "step": "moved a step", "moved": "moved"}
DOES = {"open": "opens", "close": "closes", "stop": "stops", "step": "moves a step", "moved": "moves"}
ASKED = {"open": "open", "close": "close", "stop": "stop", "step": "move a step", "moved": "move"}
WHY = {
    "smoke": " for smoke",
    "maintenance": " for maintenance",
    "wind": " for wind",
    "rain": " for rain",
    "link": "",
    "schedule": " by time programme",
    "automatic": " automatically",
}
LASTING = frozenset({"smoke", "maintenance", "wind", "rain", "link", "automatic"})
DUE = {
    "hold-off-over": "no longer keeps automatic out",
    "lockout-over": "ends",
    "lockout-begins": "begins",
    "asks": "asks, its delay being over",
    "open": "is due",
    "close": "is due",
    "automatic-on": "runs and switches automatic on",
    "automatic-off": "runs and switches automatic off",
}


@dataclass(frozen=True, slots=True)
class Line:
    """One sentence or two about one zone, and the moment it begins to be true."""

    at: datetime
    zone: str
    says: str


def tell(plan: Plan, timeline: Timeline, zone: str) -> tuple[Line, ...]:
    """Return what happened to a zone in order of time, refusals included."""
    spans = [Line(it.start, zone, _tell_span(plan, it)) for it in timeline.spans[zone]]
    refusals = [Line(it.at, zone, tell_refusal(plan, it)) for it in timeline.refusals if it.zone == zone]
    return tuple(sorted((*spans, *refusals), key=lambda it: it.at))


def tell_due(plan: Plan, timeline: Timeline, zone: str) -> str:
    """Return what changes next by itself after the end of the timeline."""
    due = timeline.due[zone]
    if due is None:
        return "Nothing changes by itself."
    return f"Next by itself: {clock_from(plan, due.at, timeline.end)}, {_tell_what(plan, due)}."


def tell_refusal(plan: Plan, it: Refusal) -> str:
    """Return what was asked and why it did not count."""
    who, by = capital(name_of(plan, it.command.source)), name_of(plan, it.by)
    if it.reason == "in-alarm":
        return f"Reset refused, still in alarm: {by}."
    asked = f"{who}: asked to {ASKED.get(it.command.action, it.command.action)}"
    if it.reason == "nothing":
        return f"{who}: such a press is set to do nothing."
    if it.reason == "lockout":
        return f"{asked}; refused by {by}."
    if it.reason == "automatic-off":
        return f"{asked}; refused, automatic is switched off ({by})."
    return f"{asked}; {'waits' if _waits(it.command) else 'refused'}, outranked by {by}."


def _waits(it: Command) -> bool:
    """Sensors, the link and a programme's open keep asking; other commands are over when they were refused."""
    return it.command_class in LASTING or (it.command_class == "schedule" and it.action == "open")


def _tell_span(plan: Plan, span: Span) -> str:
    return " ".join(_sentences(plan, span))


def _sentences(plan: Plan, span: Span) -> Iterator[str]:
    it = span.command
    if it is None:
        yield f"Nothing commands it. {_tell_left(plan, span.left_by)}"
    elif it.is_spent and it.command_class == "manual":
        yield f"Nothing moves it. {_tell_left(plan, span.left_by)}"
    elif it.is_spent:
        yield f"{_tell_left(plan, span.left_by)} {capital(name_of(plan, it.source))} counts when it asks anew."
    else:
        yield _tell_command(plan, span, it)
    if span.holds_until and it and it.command_class == "manual":
        still = "still " if it.is_spent else ""
        yield f"Automatic {still}waits until {clock_from(plan, span.holds_until, span.start)}."


def _tell_command(plan: Plan, span: Span, it: Command) -> str:
    who = capital(name_of(plan, it.source))
    if it.command_class == "manual":
        did = f"{DONE.get(it.action, it.action)} by hand"
    elif it.source in plan.lockouts:
        since = f" since {clock_from(plan, it.since, span.start)}" if it.since < span.start else ""
        return f"{who}: keeps it {'open' if it.action == 'open' else 'closed'}{since}."
    else:
        did = DOES.get(it.action, it.action) + WHY[it.command_class]
    asked = f", asked since {clock_from(plan, it.since, span.start)}" if it.since < span.start else ""
    return f"{who}: {did}{asked}."


def _tell_left(plan: Plan, it: Command | None) -> str:
    if it is None:
        return "How it stands is not known from the log."
    done = {"open": "It stays open", "close": "It stays closed"}.get(it.action, "It stays as it is")
    return f"{done}, last moved by {name_of(plan, it.source)}."


def _tell_what(plan: Plan, due: Due) -> str:
    return f"{name_of(plan, due.part)} {DUE[due.what]}"
