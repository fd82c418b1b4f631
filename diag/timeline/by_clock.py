"""What the clock brings by itself: time programmes, and lockouts that stand by calendar."""

from __future__ import annotations

from diag.timeline.command import Command
from diag.timeline.plan import SchedulePlan
from diag.timeline.world import World

PROGRAMME = "programme"
"""The key of the one command of the time programmes; the next entry replaces it."""


def run_programme(world: World, zone: str, command: Command) -> None:
    """A programme's open stands until its next entry; its close ends that, closes once and then leaves the zone."""
    state = world.zones[zone]
    if command.action == "open":
        state.ask(command, PROGRAMME)
        world.settle([zone], command)
        return
    state.drop("schedule", PROGRAMME)
    obstacle = state.obstacle(command)
    if obstacle:
        world.refuse(zone, command, *obstacle)
        world.settle([zone])
    else:
        world.give_once(zone, command)


def run_schedule(world: World, it: SchedulePlan) -> None:
    """Run a time programme now."""
    zones = tuple(zone for zone in it.zones if zone in world.zones)
    if it.does in ("automatic-on", "automatic-off"):
        switch_automatic(world, zones, it.does == "automatic-on", it.part)
        return
    command = Command("schedule", it.does, it.part, world.now, world.plan.levels["schedule"][0])
    for zone in zones:
        run_programme(world, zone, command)


def switch_automatic(world: World, zones: tuple[str, ...], is_on: bool, by: str) -> None:
    """Switch automatic on or off; what the settings keep off stays off."""
    for zone in zones:
        state = world.zones[zone]
        state.automatic_off_by = state.plan.automatic_off_by or (None if is_on else by)
    world.settle(zones)


def set_next_run(world: World, it: SchedulePlan) -> None:
    """Set the timer of a time programme's next run; there may be none."""
    run = it.programme.next_run(world.now, world.plan.time_zone)
    if run:
        world.next_at[it.part] = run
        world.set_timer(run, "schedule", it.part)
    else:
        world.next_at.pop(it.part, None)


def set_calendar(world: World, part: str) -> None:
    """See whether the calendar has a lockout stand now, and set the timer of its next edge."""
    state = world.lockouts[part]
    calendar = state.plan.calendar
    if calendar:
        state.in_calendar = calendar.has(world.now, world.plan.time_zone)
        world.next_at[part] = calendar.next_edge(world.now, world.plan.time_zone)
        world.set_timer(world.next_at[part], "calendar", part)
