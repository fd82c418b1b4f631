"""Play events through a site: which command stands for each zone, since when, what was refused, what is due."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import chain

from diag.timeline.command import LockoutSpan, Record, Refusal, Span, Timeline
from diag.timeline.due import due_next
from diag.timeline.events import LogEvent
from diag.timeline.plan import Plan
from diag.timeline.player import advance, take
from diag.timeline.start import begin
from diag.timeline.world import World

AFTERWARDS = timedelta(hours=1)
"""How long is shown after the last event when nobody says."""


def play(
    plan: Plan, events: Iterable[LogEvent], start: datetime | None = None, until: datetime | None = None
) -> Timeline:
    """Return what stood between two moments; raise OutOfOrder unless the events are in order of time.

    Left out, `start` is the first event and `until` an hour after the last. Earlier events still count for what
    stands at the start.
    """
    world, events = open_world(plan, events, start, until)
    start = start or world.now
    spans: dict[str, list[Span]] = {zone: [] for zone in plan.zones}
    refusals: list[Refusal] = []
    lockouts: list[LockoutSpan] = []
    for record in records(world, events, start, until):
        if isinstance(record, Span):
            spans[record.zone].append(record)
        elif isinstance(record, Refusal):
            refusals.append(record)
        else:
            lockouts.append(record)
    return Timeline(
        start=start,
        end=world.now,
        spans={zone: tuple(found) for zone, found in spans.items()},
        refusals=tuple(refusals),
        lockouts=tuple(sorted(lockouts, key=lambda it: (it.start, it.lockout))),
        due={zone: due_next(world, zone) for zone in world.zones},
        unheard=tuple(part for part, it in world.lockouts.items() if it.stands is None),
    )


def open_world(
    plan: Plan, events: Iterable[LogEvent], start: datetime | None = None, until: datetime | None = None
) -> tuple[World, Iterator[LogEvent]]:
    """Return the site as it stands at the earliest of start, first event and end, and all the events."""
    stream = iter(events)
    first = next(stream, None)
    moments = [it for it in (start, first.at if first else None, until) if it]
    world = begin(plan, min(moments, default=datetime.now(UTC)))
    return world, chain(() if first is None else (first,), stream)


def records(
    world: World, events: Iterable[LogEvent], start: datetime, until: datetime | None = None
) -> Iterator[Record]:
    """Yield spans as they end and refusals as they occur, from `start` on; only what stands now is kept in memory."""
    last = max(start, world.now)
    for event in events:
        if until and event.at > until:
            break
        take(world, event)
        last = max(last, event.at)
        if world.records:
            yield from _visible(world, start)
    advance(world, until or last + AFTERWARDS)
    world.finish()
    yield from _visible(world, start)


def _visible(world: World, start: datetime) -> Iterator[Record]:
    """Yield what was recorded since the last time, cut off at the start."""
    found, world.records = world.records, []
    for record in found:
        if isinstance(record, Refusal):
            if record.at >= start:
                yield record
        elif record.start >= start:
            yield record
        elif record.end > start:
            yield replace(record, start=start)
