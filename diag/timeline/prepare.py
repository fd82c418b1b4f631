"""Work out once, from a site description, everything that playing a timeline needs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import time, timedelta
from typing import TypeVar

from diag.site import Input, Link, Lockout, Schedule, Site
from diag.timeline.clock import zone_info
from diag.timeline.levels import LOWEST, full_order, levels_of
from diag.timeline.plan import Ids, InputPlan, LockoutPlan, Plan, SchedulePlan, Threshold, ZonePlan
from diag.timeline.recurring import WEEK, Calendar, DaysOfYear, Programme, TimesOfDay

Item = TypeVar("Item")

USUAL_HOLD_OFF_MINUTES = 30.0
"""Taken for a zone that gives none: common practice, no source."""

CLASS_OF_KIND: Mapping[str | None, str] = {
    "switch": "manual",
    "key-switch": "maintenance",
    "thermostat": "automatic",
    "temperature": "automatic",
    "co2": "automatic",
    "rain": "rain",
    "wind": "wind",
    "detector-line": "smoke",
    "call-point": "smoke",
    "link": "link",
}
"""Taken for inputs that do not say their class: common practice, no source."""

USUAL_ACTIONS: Mapping[str, str] = {
    "smoke": "open",
    "maintenance": "stop",
    "wind": "close",
    "rain": "close",
    "automatic": "open",
}
"""Taken for inputs that do not say what they do when active: common practice, no source."""

COMFORT = frozenset({"link", "schedule", "automatic"})
CONDITION_CLASSES = frozenset({"smoke", "maintenance", "wind", "rain"})
MOVES = frozenset({"open", "close"})


def prepare(site: Site) -> Plan:
    """Return the site ready for playing; what it does not say is taken as `assumptions` lists."""
    order = full_order(site.precedence)
    levels = levels_of(order)
    lockouts = {part: _lockout(site, part, it, order, levels) for part, it in site.lockouts.items()}
    links = {part: _link(part, it, levels) for part, it in site.links.items()}
    inputs = {part: _input(site, part, it, levels) for part, it in site.inputs.items()}
    schedules = dict(_schedules(site))
    lockouts_by_zone = _grouped((zone, it) for it in lockouts.values() for zone in it.zones)
    inputs_by_zone = _grouped((zone, it) for it in inputs.values() for zone in it.zones)
    return Plan(
        site=site,
        time_zone=zone_info(site.time_zone),
        order=order,
        levels=levels,
        zones={
            zone: _zone(site, zone, lockouts_by_zone.get(zone, ()), inputs_by_zone.get(zone, ())) for zone in site.zones
        },
        inputs=links | inputs,
        lockouts=lockouts,
        schedules=schedules,
        inputs_by_zone=inputs_by_zone,
        lockouts_by_input=_grouped((it.input, part) for part, it in lockouts.items() if it.input),
        schedules_by_zone=_grouped((zone, it) for it in schedules.values() for zone in it.zones),
    )


def _grouped(pairs: Iterable[tuple[str, Item]]) -> dict[str, tuple[Item, ...]]:
    found: dict[str, list[Item]] = {}
    for key, item in pairs:
        found.setdefault(key, []).append(item)
    return {key: tuple(items) for key, items in found.items()}


def at_once() -> Threshold:
    """Return the threshold of what has neither limit, delay nor release."""
    return _threshold(None, None, is_upper=True)


def class_of(it: Input) -> str:
    """Return the command class of an input: its own, or the usual one of its kind."""
    return it.command_class or CLASS_OF_KIND.get(it.kind, "manual")


def _zone(site: Site, zone: str, lockouts: tuple[LockoutPlan, ...], inputs: tuple[InputPlan, ...]) -> ZonePlan:
    minutes = site.zones[zone].hold_off_minutes
    return ZonePlan(
        part=zone,
        hold_off=timedelta(minutes=USUAL_HOLD_OFF_MINUTES if minutes is None else minutes),
        is_hold_off_known=minutes is not None,
        lockouts=lockouts,
        automatic_off_by=_automatic_off_by(site, zone, inputs),
    )


def _automatic_off_by(site: Site, zone: str, inputs: tuple[InputPlan, ...]) -> str | None:
    if site.zones[zone].automatic_enabled is False:
        return zone
    asking = (site.inputs[it.part].controller for it in inputs if it.command_class == "automatic")
    return next((it for it in asking if it and site.controllers[it].automatic_enabled is False), None)


def _input(site: Site, part: str, it: Input, levels: Mapping[str, tuple[int, ...]]) -> InputPlan:
    command_class = class_of(it)
    own = levels[command_class]
    link = site.links.get(it.link or "")
    return InputPlan(
        part=part,
        command_class=command_class,
        zones=tuple(it.zones or (link.zones if link else None) or ()),
        level=own[0] if it.kind == "call-point" else own[-1],
        threshold=_threshold(it, it.set_point, is_upper=True),
        active_does=it.active_does or USUAL_ACTIONS.get(command_class, "moved"),
        tap_does=it.tap_does,
        hold_does=it.hold_does,
        hold_threshold_s=it.hold_threshold_s,
        directions={"open": it.open_does or "open", "close": it.close_does or "close"},
        write_level=(link.write_priority if link else None) or LOWEST,
    )


def _link(part: str, it: Link, levels: Mapping[str, tuple[int, ...]]) -> InputPlan:
    return InputPlan(
        part=part,
        command_class="link",
        zones=tuple(it.zones or ()),
        level=levels["link"][-1],
        threshold=at_once(),
        active_does="moved",
        tap_does=None,
        hold_does=None,
        hold_threshold_s=None,
        directions={"open": "open", "close": "close"},
        write_level=it.write_priority or LOWEST,
    )


def _lockout(site: Site, part: str, it: Lockout, order: Ids, levels: Mapping[str, tuple[int, ...]]) -> LockoutPlan:
    watched = site.inputs.get(it.input or "")
    limit = it.limit if it.limit is not None else watched.set_point if watched else None
    command_class = _class_of_lockout(it, order)
    return LockoutPlan(
        part=part,
        kind=it.kind,
        zones=tuple(it.zones or ()),
        input=it.input,
        actions=MOVES if it.refuses == "both" else frozenset({it.refuses} if it.refuses else ()),
        classes=_refused_classes(it, order),
        forces=it.forces if it.forces in MOVES else None,
        command_class=command_class,
        level=levels[command_class][-1],
        is_passed_by_hand=it.refuses_manual is False,
        threshold=_threshold(watched, limit, _acts_above(it), it.release_minutes),
        calendar=_calendar(it),
    )


def _class_of_lockout(it: Lockout, order: Ids) -> str:
    """Return the class a lockout forces with: its own, or for time and temperature the one it can prevail in.

    One that refuses hand commands has to stand just above them, or a hand command would outlast it.
    """
    if it.kind in CONDITION_CLASSES:
        return str(it.kind)
    if it.refuses_manual and order[0] != "manual":
        return order[order.index("manual") - 1]
    return "automatic" if it.kind == "temperature" else "schedule"


def _refused_classes(it: Lockout, order: Ids) -> frozenset[str]:
    """Return the classes a lockout refuses: those weaker than its own, and hand commands as it says itself."""
    weaker = frozenset(order[order.index(it.kind) + 1 :]) if it.kind in CONDITION_CLASSES else COMFORT
    if it.refuses_manual is None:
        return weaker
    return weaker | {"manual"} if it.refuses_manual else weaker - {"manual"}


def _acts_above(it: Lockout) -> bool:
    """Too cold to open is below a limit; every other condition is above one."""
    return not (it.kind == "temperature" and it.refuses == "open")


def _threshold(it: Input | None, limit: float | None, is_upper: bool, release: float | None = None) -> Threshold:
    return Threshold(
        limit=limit,
        is_upper=is_upper,
        dead_band=(it.dead_band if it else None) or 0.0,
        delay=timedelta(minutes=(it.delay_minutes if it else None) or 0.0),
        release=timedelta(minutes=release or 0.0),
    )


def _calendar(it: Lockout) -> Calendar | None:
    days = DaysOfYear(it.from_day, it.until_day) if it.from_day and it.until_day else None
    times = None
    if it.from_time and it.until_time:
        times = TimesOfDay(time.fromisoformat(it.from_time), time.fromisoformat(it.until_time))
    return Calendar(days, times) if days or times else None


def _schedules(site: Site) -> Iterator[tuple[str, SchedulePlan]]:
    """Yield the programmes that say when they run and what they do; the others cannot be played."""
    for part, it in site.schedules.items():
        if it.at and it.does:
            yield part, SchedulePlan(part, tuple(it.zones or ()), it.does, _programme(it, it.at))


def _programme(it: Schedule, at: str) -> Programme:
    days = DaysOfYear(it.from_day, it.until_day) if it.from_day and it.until_day else None
    weekdays = frozenset(map(WEEK.index, it.days or WEEK))
    return Programme(time.fromisoformat(at), weekdays, days)
