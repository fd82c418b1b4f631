"""Say what stands at one moment: for each zone the command, its hold-off and its lockouts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from diag.timeline.command import Command, Due
from diag.timeline.due import due_next
from diag.timeline.events import LogEvent
from diag.timeline.levels import LEVELS, level_name
from diag.timeline.plan import Plan
from diag.timeline.player import advance, take
from diag.timeline.start import begin
from diag.timeline.world import World


@dataclass(frozen=True, slots=True)
class HoldOff:
    """The hold-off of one zone: none, running, over or unknown, and when automatic works again while it runs."""

    state: str
    resumes_at: datetime | None = None
    since: datetime | None = None


@dataclass(frozen=True, slots=True)
class Standing:
    """What stands for one zone; each of its lockouts is standing, clear or unknown.

    `left_by` is the command that last moved the zone when the standing one moves nothing.
    """

    zone: str
    command: Command | None
    left_by: Command | None
    hold_off: HoldOff
    lockouts: Mapping[str, str]
    due: Due | None


@dataclass(frozen=True, slots=True)
class Slot:
    """One of the 16 levels: its name in the standard, what stands there, and what refuses it."""

    level: int
    name: str
    command: Command | None
    refused_by: str | None


def standing_at(
    plan: Plan, events: Iterable[LogEvent], at: datetime, zones: Iterable[str] | None = None
) -> dict[str, Standing]:
    """Return what stands at a moment for these zones, or for all; later events do not count.

    Events must be in order of time; raise OutOfOrder otherwise.
    """
    world = world_at(plan, events, at, zones)
    return {zone: _standing(world, zone) for zone in world.zones}


def array_at(plan: Plan, events: Iterable[LogEvent], at: datetime, zone: str) -> tuple[Slot, ...]:
    """Return the zone's 16 levels at a moment; the lowest-numbered that nothing refuses is the command that stands."""
    state = world_at(plan, events, at, (zone,)).zones[zone]
    best = {command.level: command for command in state.best_of_each_class()}
    slots = []
    for level in LEVELS:
        command = best.get(level)
        refused = state.refusal(command) if command else None
        slots.append(Slot(level, level_name(level), command, refused[1] if refused else None))
    return tuple(slots)


def written_at(plan: Plan, events: Iterable[LogEvent], at: datetime, zone: str) -> tuple[Command | None, ...]:
    """Return what the building link has written to a zone and not relinquished, by priority 1 to 16."""
    return world_at(plan, events, at, (zone,)).zones[zone].link.slots()


def world_at(plan: Plan, events: Iterable[LogEvent], at: datetime, zones: Iterable[str] | None = None) -> World:
    """Return the site, or these zones of it, as it stands at a moment."""
    told = [event for event in events if event.at <= at]
    world = begin(plan, told[0].at if told else at, zones)
    for event in told:
        take(world, event)
    advance(world, at)
    return world


def _standing(world: World, zone: str) -> Standing:
    state = world.zones[zone]
    command = state.current
    return Standing(
        zone=zone,
        command=command,
        left_by=state.last_moved if command is None or command.is_spent else None,
        hold_off=_hold_off(world, zone),
        lockouts={it.part: _said(world.lockouts[it.part].stands) for it in state.plan.lockouts},
        due=due_next(world, zone),
    )


def _hold_off(world: World, zone: str) -> HoldOff:
    state = world.zones[zone]
    if state.plan.is_hold_off_known and state.plan.hold_off == timedelta(0):
        return HoldOff("none")
    if state.hand_at is None or not state.plan.is_hold_off_known:
        return HoldOff("unknown", since=state.hand_at)
    if state.holds_until and state.holds_until > world.now:
        return HoldOff("running", state.holds_until, state.hand_at)
    return HoldOff("over", since=state.hand_at)


def _said(stands: bool | None) -> str:
    return "unknown" if stands is None else "standing" if stands else "clear"
