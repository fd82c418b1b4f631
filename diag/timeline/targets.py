"""Find which zones, input and conditions an event is about."""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator
from dataclasses import dataclass, replace

from diag.errors import UnknownPart
from diag.timeline.levels import DEFAULT_ORDER
from diag.timeline.plan import Ids, InputPlan, Plan
from diag.timeline.prepare import USUAL_ACTIONS, at_once

CLASSES = frozenset(DEFAULT_ORDER)
OTHER_SECTIONS = ("places", "drives", "openings", "junctions", "cables", "schedules", "fans")


@dataclass(frozen=True, slots=True)
class Target:
    """The zones an event reaches, the input it came by, and the lockouts that hang on the same cause.

    An event of a lockout itself commands nothing: what the lockout forces is its own.
    """

    source: InputPlan
    zones: Ids
    lockouts: Ids
    is_lockout: bool = False


def find_target(plan: Plan, source: str, zone: str | None, played: Container[str]) -> Target:
    """Return what a source of events stands for: an input, link, lockout, command class or any part with zones.

    Of its zones those that are played remain. Raise UnknownPart for a name that the site does not have.
    """
    found = _find(plan, source, zone, played)
    return replace(found, zones=tuple(it for it in found.zones if it in played))


def _find(plan: Plan, source: str, zone: str | None, played: Container[str]) -> Target:
    zones = (zone,) if zone else None
    if source in plan.inputs:
        return _of_input(plan, plan.inputs[source], zones)
    if source in plan.lockouts:
        it = plan.lockouts[source]
        return Target(_nameless(plan, source, it.command_class, it.zones), zones or it.zones, (source,), True)
    if source in CLASSES:
        return _of_class(plan, source, zones or tuple(it for it in plan.zones if it in played))
    reached = tuple(zones_of_part(plan, source))
    return Target(_nameless(plan, source, "manual", reached), zones or reached, ())


def zones_of_part(plan: Plan, part: str) -> Iterator[str]:
    """Yield the zones that a zone, opening, drive, fan, output or controller belongs to; raise UnknownPart."""
    site = plan.site
    if part in site.controllers:
        served = {zone for it in site.inputs.values() if it.controller == part for zone in it.zones or ()}
        outputs = {name for name, it in site.outputs.items() if it.controller == part}
        yield from (zone for zone in plan.zones if zone in served or _is_fed(plan, zone, outputs))
    elif part in site.outputs:
        yield from (zone for zone in plan.zones if _is_fed(plan, zone, {part}))
    elif part in site.zones:
        yield part
    else:
        yield from _zones_of_consumer(plan, part)


def _zones_of_consumer(plan: Plan, part: str) -> Iterator[str]:
    site = plan.site
    opening = site.drives[part].opening if part in site.drives else part
    if all(part not in getattr(site, section) for section in OTHER_SECTIONS):
        raise UnknownPart(part, (*plan.zones, *plan.inputs, *plan.lockouts, *DEFAULT_ORDER))
    for zone, it in site.zones.items():
        if opening in (it.openings or ()) or part in (it.fans or ()):
            yield zone


def _is_fed(plan: Plan, zone: str, outputs: Iterable[str]) -> bool:
    site, it = plan.site, plan.site.zones[zone]
    openings, fans, fed = set(it.openings or ()), set(it.fans or ()), set(outputs)
    return any(drive.output in fed and drive.opening in openings for drive in site.drives.values()) or any(
        site.fans[fan].output in fed for fan in fans
    )


def _of_input(plan: Plan, it: InputPlan, zones: Ids | None) -> Target:
    return Target(it, zones or it.zones or tuple(plan.zones), plan.lockouts_by_input.get(it.part, ()))


def _of_class(plan: Plan, name: str, zones: Ids) -> Target:
    """Return the only input of the class in these zones where there is but one; else the class without a part."""
    inputs = {it.part: it for zone in zones for it in plan.inputs_by_zone.get(zone, ()) if it.command_class == name}
    kin = tuple(dict.fromkeys(it.part for zone in zones for it in plan.zones[zone].lockouts if it.kind == name))
    if len(inputs) != 1:
        return Target(_nameless(plan, name, name, zones), zones, kin)
    found = _of_input(plan, next(iter(inputs.values())), zones)
    return Target(found.source, zones, tuple(dict.fromkeys((*found.lockouts, *kin))))


def _nameless(plan: Plan, source: str, command_class: str, zones: Ids) -> InputPlan:
    return InputPlan(
        part=source,
        command_class=command_class,
        zones=zones,
        level=plan.levels[command_class][-1],
        threshold=at_once(),
        active_does=USUAL_ACTIONS.get(command_class, "moved"),
        tap_does=None,
        hold_does=None,
        hold_threshold_s=None,
        directions={"open": "open", "close": "close"},
        write_level=plan.levels["link"][0],
    )
