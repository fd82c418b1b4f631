"""Say what changes next for a zone by itself."""

from __future__ import annotations

from collections.abc import Iterator

from diag.timeline.command import Due
from diag.timeline.world import World


def due_next(world: World, zone: str) -> Due | None:
    """Return the next change that needs no event, or None when only an event can change anything."""
    return min(_dues(world, zone), key=lambda it: it.at, default=None)


def _dues(world: World, zone: str) -> Iterator[Due]:
    state = world.zones[zone]
    hand = state.hand
    if hand and state.holds_until:
        yield Due(state.holds_until, hand.source, "hold-off-over")
    for lockout in state.plan.lockouts:
        yield from _dues_of_lockout(world, lockout.part)
    for watched in world.watched.values():
        if zone in watched.zones and watched.condition.due:
            yield Due(watched.condition.due, watched.source.part, "asks")
    for schedule in world.plan.schedules_by_zone.get(zone, ()):
        if schedule.part in world.next_at:
            yield Due(world.next_at[schedule.part], schedule.part, schedule.does)


def _dues_of_lockout(world: World, part: str) -> Iterator[Due]:
    state = world.lockouts[part]
    what = "lockout-begins" if state.since is None else "lockout-over"
    if state.condition.due:
        yield Due(state.condition.due, part, what)
    if part in world.next_at:
        yield Due(world.next_at[part], part, what)
