"""Work out, by playing each cause through the site's own precedence, what it does to every zone and what passes it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta

from diag.sheet.scenarios import Scenario, scenarios
from diag.timeline.command import Command
from diag.timeline.events import LogEvent
from diag.timeline.plan import Ids, InputPlan, Plan
from diag.timeline.player import advance, take
from diag.timeline.start import begin

DOES: Mapping[str, str] = {
    "open": "opens",
    "close": "closes",
    "stop": "stops",
    "step": "moves a step",
    "moved": "moves",
}
STAYS: Mapping[str, str] = {"open": "stays open", "close": "stays closed", "stop": "stays as it is"}
AGAINST: Mapping[str, str] = {"open": "close", "close": "open", "stop": "open"}
"""The movement that would go against each action."""

SOON = timedelta(seconds=10)
COLUMNS = 6
"""How many zones fit beside each other on a page."""

NO_EFFECT = "–"


@dataclass(frozen=True, slots=True)
class Effect:
    """What one cause does to one zone, in words; `action` is open, close, stop, barred or none.

    `passes` names the command classes that still move the zone the other way, `against`, strongest first; it is None
    where the cause does not stand on or leaves the zone alone.
    """

    says: str
    action: str
    against: str
    passes: Ids | None


@dataclass(frozen=True, slots=True)
class MatrixRow:
    """One cause and its effect on each zone of the matrix."""

    scenario: Scenario
    effects: Mapping[str, Effect]


@dataclass(frozen=True, slots=True)
class Matrix:
    """Causes against zones; zones that no cause of it reaches are left out."""

    zones: Ids
    rows: tuple[MatrixRow, ...]


def cause_and_effect(plan: Plan) -> tuple[Matrix, ...]:
    """Return the matrices of a site, each of a few zones with the causes that reach one of them."""
    rows = [_row(plan, it) for it in scenarios(plan)]
    zones = tuple(plan.zones)
    groups = [zones[start : start + COLUMNS] for start in range(0, len(zones), COLUMNS)]
    return tuple(
        Matrix(group, tuple(it for it in rows if any(zone in it.effects for zone in group))) for group in groups
    )


@dataclass(frozen=True, slots=True)
class Seen:
    """What stands for a zone: the command that moves it, the one that moved it last, its standing lockouts."""

    command: Command | None
    left_by: Command | None
    lockouts: Ids


def play_to_end(plan: Plan, it: Scenario, zones: Ids, then: tuple[LogEvent, ...] = ()) -> dict[str, Seen]:
    """Play a cause, and other events after it, through some zones; return what stands a moment after the last."""
    world = begin(plan, it.starts_at, zones)
    for event in it.events:
        take(world, event)
    advance(world, it.seen_at)
    for event in then:
        take(world, event)
    advance(world, then[-1].at + SOON if then else it.seen_at)
    seen = {}
    for zone, state in world.zones.items():
        moving = state.current if state.current and not state.current.is_spent else None
        seen[zone] = Seen(moving, state.last_moved, tuple(state.standing))
    return seen


def _row(plan: Plan, it: Scenario) -> MatrixRow:
    zones = tuple(zone for zone in plan.zones if zone in it.zones)
    seen = play_to_end(plan, it, zones)
    return MatrixRow(it, {zone: _effect(plan, it, zone, seen[zone]) for zone in zones})


def _effect(plan: Plan, it: Scenario, zone: str, seen: Seen) -> Effect:
    action = _action(plan, it, seen)
    says = _says(it, seen, action)
    against = AGAINST.get(action, "open")
    passes = _passing(plan, it, zone, against) if it.lasts and action != "none" else None
    return Effect(says, action, against, passes)


def _action(plan: Plan, it: Scenario, seen: Seen) -> str:
    moved = _moved_now(it, seen)
    if moved is not None:
        return moved.action
    is_barred = any(it.part in (part, plan.lockouts[part].input) for part in seen.lockouts)
    return "barred" if is_barred else "none"


def _moved_now(it: Scenario, seen: Seen) -> Command | None:
    """Return the command that this cause made stand, or that moved the zone once, if any."""
    return next((one for one in (seen.command, seen.left_by) if one and one.since >= it.given_at), None)


def _says(it: Scenario, seen: Seen, action: str) -> str:
    if action == "barred":
        return "no opening"
    if action != "none":
        return DOES.get(action, action)
    left = seen.command or seen.left_by
    if not it.lasts and left is not None:
        return STAYS.get(left.action, "stays as it is")
    return NO_EFFECT


def _passing(plan: Plan, it: Scenario, zone: str, movement: str) -> Ids:
    """Return the classes that can move the zone against the cause while it stands."""
    at = it.seen_at + SOON
    return tuple(
        name
        for name in classes_that(plan, zone, movement)
        if name != it.command_class and _moves(plan, it, LogEvent(at, name, movement, zone=zone), zone)
    )


def _moves(plan: Plan, it: Scenario, event: LogEvent, zone: str) -> bool:
    seen = play_to_end(plan, it, (zone,), (event,))[zone]
    command = seen.command or seen.left_by
    return command is not None and command.since == event.at and command.action == event.event


def classes_that(plan: Plan, zone: str, movement: str) -> Ids:
    """Return the command classes that can ask a zone of this site to open, or to close, strongest first."""
    found = {it.command_class for it in plan.inputs.values() if zone in it.zones and movement in movements(it)}
    found |= {"schedule" for it in plan.schedules_by_zone.get(zone, ()) if it.does == movement}
    found |= {it.command_class for it in plan.zones[zone].lockouts if it.forces == movement}
    return tuple(name for name in plan.order if name in found)


def movements(it: InputPlan) -> frozenset[str]:
    """Return what an input can ask for: its directions, or what it does when made and, for comfort, made no more."""
    if it.command_class in ("manual", "link"):
        return frozenset(it.directions.values())
    both = it.command_class == "automatic" and it.active_does == "open"
    return frozenset({"open", "close"} if both else {it.active_does})
