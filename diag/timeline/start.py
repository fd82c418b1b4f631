"""Set up a site as it stands at one moment, before any event: lockouts by calendar and time programmes."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta, tzinfo

from diag.timeline.by_clock import PROGRAMME, set_calendar, set_next_run
from diag.timeline.command import Command
from diag.timeline.condition import Condition
from diag.timeline.plan import Plan, SchedulePlan
from diag.timeline.world import LockoutState, World
from diag.timeline.zone_state import ZoneState

WEEK = timedelta(days=7)
"""How far back a time programme still tells what stands; earlier than that, somebody has surely moved the zone."""

AUTOMATIC = frozenset({"automatic-on", "automatic-off"})


def begin(plan: Plan, at: datetime, zones: Iterable[str] | None = None) -> World:
    """Return the site at a moment, or only these zones of it; what only events can tell is not known yet."""
    played = {zone: ZoneState(plan.zones[zone], plan.order, at) for zone in (plan.zones if zones is None else zones)}
    lockouts = {it.part: it for state in played.values() for it in state.plan.lockouts}
    world = World(
        plan,
        at,
        played,
        {part: LockoutState(it, Condition(it.threshold), True) for part, it in lockouts.items()},
    )
    for part in lockouts:
        set_calendar(world, part)
        world.turn_lockout(part)
    _begin_programmes(world)
    world.settle(played)
    return world


def _begin_programmes(world: World) -> None:
    """Let the last entry of each kind before now have its effect, and set the timers of the next."""
    of_zones = {zone: world.plan.schedules_by_zone.get(zone, ()) for zone in world.zones}
    for it in {it.part: it for schedules in of_zones.values() for it in schedules}.values():
        set_next_run(world, it)
    for zone, schedules in of_zones.items():
        _begin_movement(world, zone, [it for it in schedules if it.does not in AUTOMATIC])
        _begin_automatic(world, zone, [it for it in schedules if it.does in AUTOMATIC])


def _begin_movement(world: World, zone: str, schedules: list[SchedulePlan]) -> None:
    last = _last_run(schedules, world.now, world.plan.time_zone)
    if last and last[1].does == "open":
        at, it = last
        level = world.plan.levels["schedule"][0]
        world.zones[zone].ask(Command("schedule", "open", it.part, at, level), PROGRAMME)


def _begin_automatic(world: World, zone: str, schedules: list[SchedulePlan]) -> None:
    last = _last_run(schedules, world.now, world.plan.time_zone)
    if last and last[1].does == "automatic-off":
        state = world.zones[zone]
        state.automatic_off_by = state.plan.automatic_off_by or last[1].part


def _last_run(schedules: list[SchedulePlan], until: datetime, zone: tzinfo) -> tuple[datetime, SchedulePlan] | None:
    runs = [(run, it) for it in schedules if (run := it.programme.last_run(until, zone)) and until - run <= WEEK]
    return max(runs, key=lambda it: it[0], default=None)
