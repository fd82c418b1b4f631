"""Take one event, or one timer that ran out, and change what stands accordingly."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from datetime import datetime

from diag.errors import DiagError
from diag.timeline.by_clock import run_programme, run_schedule, set_calendar, set_next_run, switch_automatic
from diag.timeline.command import MOVED, Command
from diag.timeline.condition import Condition
from diag.timeline.events import LogEvent
from diag.timeline.hands import RUN_TO_END, pressed_action
from diag.timeline.targets import Target
from diag.timeline.world import Watched, World
from diag.timeline.zone_state import HAND

OPPOSITE = {"open": "close"}
"""What a sensor asks for once its condition is over: cooler again lets it close. Others ask for nothing."""


class OutOfOrder(DiagError):
    """An event earlier than one that was played before it."""

    def __init__(self, at: datetime, before: datetime) -> None:
        self.at = at
        super().__init__(f"An event at {at.isoformat()} follows one at {before.isoformat()}; sort them by time.")


def take(world: World, event: LogEvent) -> None:
    """Let one event happen, after every timer that runs out before it or at the same moment."""
    if event.at < world.now:
        raise OutOfOrder(event.at, world.now)
    advance(world, event.at)
    TAKERS[event.event](world, event, world.target(event.source, event.zone))


def advance(world: World, until: datetime) -> None:
    """Let the time pass up to a moment, that moment included."""
    while timer := world.next_timer(until):
        _, kind, of = timer
        TIMERS[kind](world, of)
    world.now = until


def _take_reading(world: World, event: LogEvent, target: Target) -> None:
    if event.value is None:
        return
    value = event.value
    _observe(world, event, target, lambda condition: condition.read(value, world.now))


def _take_contact(world: World, event: LogEvent, target: Target) -> None:
    if target.source.command_class in ("manual", "link"):
        _take_pressed_contact(world, event, target)
        return
    is_on = event.event == "on"
    _observe(world, event, target, lambda condition: condition.make(is_on, world.now))


def _observe(world: World, event: LogEvent, target: Target, look: Callable[[Condition], bool]) -> None:
    """Let the conditions that hang on one source look at it, and turn those that changed."""
    zones: tuple[str, ...] = ()
    new = None
    if not target.is_lockout:
        zones, new = _look_at_input(world, world.watch(target, event.zone), look)
    for part in target.lockouts:
        if part in world.lockouts and (event.event != "off" or target.is_lockout or not _is_latched(world, part)):
            zones += _look_at_lockout(world, part, look)
    if zones:
        world.settle(dict.fromkeys(zones), new)


def _look_at_input(world: World, key: str, look: Callable[[Condition], bool]) -> tuple[tuple[str, ...], Command | None]:
    watched = world.watched[key]
    if look(watched.condition):
        return watched.zones, _turn_input(world, watched)
    if watched.condition.due:
        world.set_timer(watched.condition.due, "input", key)
    return (), None


def _is_latched(world: World, lockout: str) -> bool:
    return world.lockouts[lockout].plan.kind == "smoke"


def _look_at_lockout(world: World, part: str, look: Callable[[Condition], bool]) -> tuple[str, ...]:
    condition = world.lockouts[part].condition
    if look(condition):
        return world.turn_lockout(part)
    if condition.due:
        world.set_timer(condition.due, "lockout", part)
    return ()


def _turn_input(world: World, watched: Watched) -> Command | None:
    """Let the zones of an input have its command, or lose it; return the command if there is one."""
    it = watched.source
    stands = bool(watched.condition.stands)
    action = it.active_does if stands else OPPOSITE.get(it.active_does) if it.command_class == "automatic" else None
    if not stands and it.command_class == "smoke":
        return None  # latched until reset
    if action in (None, "nothing"):
        for zone in watched.zones:
            world.zones[zone].drop(it.command_class, it.part)
        return None
    command = world.command(it, MOVED if action == RUN_TO_END else str(action))
    for zone in watched.zones:
        world.zones[zone].ask(command)
    return command


def _take_move(world: World, event: LogEvent, target: Target) -> None:
    it = target.source
    if event.event == "write":  # 0 % is a command to close, not an empty slot
        event = replace(event, event="open" if event.value else "close")
    action = pressed_action(it, event.event, event.value if it.command_class == "manual" else None)
    command = world.command(it, action)
    for zone in target.zones:
        if action == "nothing":
            world.refuse(zone, command, "nothing", it.part)
        elif it.command_class == "manual":
            _move_by_hand(world, zone, command)
        elif it.command_class == "link":
            _write(world, zone, command, event.priority or it.write_level)
        elif it.command_class == "schedule":
            run_programme(world, zone, command)
        else:
            world.zones[zone].ask(command)
            world.settle([zone], command)


def _take_pressed_contact(world: World, event: LogEvent, target: Target) -> None:
    """Take a contact that commands: made it does what it is set to, and a link's command ends with it."""
    if event.event == "on":
        action = target.source.active_does
        _take_move(world, replace(event, event=MOVED if action == RUN_TO_END else action, value=None), target)
    elif target.source.command_class == "link":
        _relinquish(world, event, target)


def _move_by_hand(world: World, zone: str, command: Command) -> None:
    """A hand command that counts keeps weaker ones out for the hold-off; a refused one starts none."""
    state = world.zones[zone]
    obstacle = state.obstacle(command)
    if obstacle:
        world.refuse(zone, command, *obstacle)
        return
    state.hand_at = world.now
    if not state.plan.hold_off:
        world.give_once(zone, command)
        return
    state.holds_until = world.now + state.plan.hold_off
    state.ask(command, HAND)
    world.set_timer(state.holds_until, "hold-off", zone)
    world.settle([zone])


def _write(world: World, zone: str, command: Command, level: int) -> None:
    state = world.zones[zone]
    state.link.write(command, level)
    state.settle_link()
    world.settle([zone], command)


def _relinquish(world: World, event: LogEvent, target: Target) -> None:
    for zone in target.zones:
        state = world.zones[zone]
        state.link.relinquish(event.priority or target.source.write_level)
        state.settle_link()
    world.settle(target.zones)


def _reset(world: World, _: LogEvent, target: Target) -> None:
    """End smoke alarms that are over; one that is still given stays, and the reset is refused."""
    given = {it.source.part for it in world.watched.values() if it.condition.is_caused}
    for zone in target.zones:
        state = world.zones[zone]
        for key, command in list(state.asked.get("smoke", {}).items()):
            if key in given:
                world.refuse(zone, command, "in-alarm", key)
            else:
                state.drop("smoke", key)
    world.settle((*target.zones, *_end_smoke_lockouts(world, target.zones)))


def _end_smoke_lockouts(world: World, zones: tuple[str, ...]) -> Iterator[str]:
    """End the smoke lockouts of these zones in none of whose zones smoke stands; yield the zones that changed."""
    for part, it in world.lockouts.items():
        if not _is_latched(world, part) or not set(zones) & set(it.plan.zones):
            continue
        if not any(world.zones[zone].asked.get("smoke") for zone in it.plan.zones if zone in world.zones):
            yield from _look_at_lockout(world, part, lambda condition: condition.make(False, world.now))


def _switch(world: World, event: LogEvent, target: Target) -> None:
    switch_automatic(world, target.zones, event.event == "automatic-on", target.source.part)


def _schedule_due(world: World, part: str) -> None:
    it = world.plan.schedules[part]
    run_schedule(world, it)
    set_next_run(world, it)


def _calendar_due(world: World, part: str) -> None:
    set_calendar(world, part)
    world.settle(world.turn_lockout(part))


def _input_due(world: World, key: str) -> None:
    watched = world.watched[key]
    if watched.condition.pass_time(world.now):
        world.settle(watched.zones, _turn_input(world, watched))


def _lockout_due(world: World, part: str) -> None:
    if world.lockouts[part].condition.pass_time(world.now):
        world.settle(world.turn_lockout(part))


def _hold_off_due(world: World, zone: str) -> None:
    state = world.zones[zone]
    if state.holds_until == world.now:
        state.drop("manual", HAND)
        world.settle([zone])


TAKERS: Mapping[str, Callable[[World, LogEvent, Target], None]] = {
    **dict.fromkeys(("open", "close", "stop", "step", "moved", "write"), _take_move),
    **dict.fromkeys(("on", "off"), _take_contact),
    **dict.fromkeys(("automatic-on", "automatic-off"), _switch),
    "reading": _take_reading,
    "relinquish": _relinquish,
    "reset": _reset,
}

TIMERS: Mapping[str, Callable[[World, str], None]] = {
    "schedule": _schedule_due,
    "calendar": _calendar_due,
    "input": _input_due,
    "lockout": _lockout_due,
    "hold-off": _hold_off_due,
}
