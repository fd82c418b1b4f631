"""Work out what a controller's supply and battery can give against what the site asks of them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from diag.calculators.battery import Battery as Cells
from diag.calculators.battery import movements_left
from diag.calculators.battery_sizing import charger_verdict, required_capacity_ah
from diag.calculators.margins import most_running_at_once
from diag.expectations.currents import drives_on
from diag.expectations.supplies import battery_age_years, battery_of, standby_hours_expected, supply_of
from diag.expectations.words import amperes
from diag.facts import Situation
from diag.site import Battery, Drive
from diag.site_circuits import total_running_a

ALARM_HOURS: Final = 180.0 / 3600.0
"""How long the smoke drives must be carried at the end of stand-by (EN 12101-10 clause 6.2.2, from memory)."""

Figure = tuple[str, str]
"""What it is, and how much."""

NOT_DESCRIBED = "not described"


def supply_figures(situation: Situation, controller: str) -> tuple[Figure, ...]:
    """Return the figures of a controller's supply, then of its battery where one is described."""
    return (*_supply(situation, controller), *_battery(situation, controller))


def _supply(situation: Situation, controller: str) -> Iterator[Figure]:
    it = supply_of(situation, controller)
    if it is None:
        yield "Supply", NOT_DESCRIBED
        return
    yield "Mains", f"{it.mains_voltage_v:.0f} V AC" if it.mains_voltage_v else NOT_DESCRIBED
    rated = f"{it.rated_voltage_v:g} V" if it.rated_voltage_v else NOT_DESCRIBED
    yield "Power unit", f"{rated}, {it.rated_current_a:g} A" if it.rated_current_a else rated
    yield "Fuse on the mains side", f"{it.fuse_a:g} A" if it.fuse_a else NOT_DESCRIBED
    yield from _loading(situation, controller, it.rated_current_a)


def _loading(situation: Situation, controller: str, rated_a: float | None) -> Iterator[Figure]:
    drives = drives_on(situation, controller)
    running = total_running_a(situation.scope.topology, drives)
    if running is None:
        yield "All 24 V drives running", "not worked out: a running current is not described"
        return
    share = f", {running / rated_a:.0%} of the power unit" if rated_a else ""
    yield f"All {len(drives)} drives on 24 V running", f"{amperes(running)}{share}"
    if rated_a and running > rated_a:
        currents = [situation.scope.topology.site.drives[it].running_current_a or 0.0 for it in drives]
        yield "At once at most", f"{most_running_at_once(currents, rated_a)} drives"


def _battery(situation: Situation, controller: str) -> Iterator[Figure]:
    it = battery_of(situation, controller)
    supply = supply_of(situation, controller)
    if it is None:
        has = supply.has_battery if supply else None
        yield "Battery", {True: "fitted, not described", False: "none fitted", None: "not known"}[has]
        return
    yield "Battery", f"{it.voltage_v or 0:g} V, {it.capacity_ah or 0:g} Ah, lead-acid taken"
    age = battery_age_years(situation, controller)
    yield "Age", NOT_DESCRIBED if age is None else f"{age:.1f} years"
    yield from _standby(situation, controller, it)
    yield from _alarm(situation, controller, it, age)
    yield from _charger(situation, controller, it)


def _standby(situation: Situation, controller: str, it: Battery) -> Iterator[Figure]:
    hours = standby_hours_expected(situation, controller)
    if hours is None:
        yield (
            "Stand-by it can be expected to give",
            "not worked out: capacity, standing current or age is not described",
        )
        return
    asked = it.required_standby_hours
    verdict = "" if asked is None else f", {asked:g} h asked for: {'enough' if hours >= asked else 'TOO LITTLE'}"
    yield "Stand-by it can be expected to give", f"{hours:.0f} h at its age and 20 °C{verdict}"


def smoke_drives(situation: Situation, controller: str) -> list[Drive]:
    """Return the drives of a controller that move smoke openings."""
    site = situation.scope.topology.site
    drives = [site.drives[it] for it in drives_on(situation, controller)]
    return [it for it in drives if it.opening and site.openings[it.opening].smoke]


def _alarm(situation: Situation, controller: str, it: Battery, age: float | None) -> Iterator[Figure]:
    drives = smoke_drives(situation, controller)
    currents = [drive.running_current_a for drive in drives]
    supply = supply_of(situation, controller)
    standing = supply.standing_current_a if supply else None
    if not drives or None in currents or not it.capacity_ah:
        return
    alarm_a = sum(current for current in currents if current)
    yield f"All {len(drives)} smoke drives running", amperes(alarm_a)
    hours = it.required_standby_hours or 0.0
    if standing and hours:
        needed = required_capacity_ah(standing, hours, alarm_a, ALARM_HOURS)
        verdict = "enough" if it.capacity_ah >= needed else "TOO LITTLE"
        yield (
            f"Capacity for {hours:g} h and then 3 min of smoke drives, times 1.2",
            f"{needed:.1f} Ah of {it.capacity_ah:g} Ah: {verdict}",
        )
    travel = _slowest_s(drives)
    if travel and age is not None:
        left = movements_left(Cells(it.capacity_ah, age), alarm_a, travel, standing or 0.0, hours)
        yield "Smoke openings left after that stand-by, by calculation", f"{left}"


def _slowest_s(drives: list[Drive]) -> float | None:
    speeds = [(it.stroke_mm, it.smoke_speed_mm_s or it.manual_speed_mm_s) for it in drives]
    times = [stroke / speed for stroke, speed in speeds if stroke and speed]
    return max(times) if len(times) == len(drives) else None


def _charger(situation: Situation, controller: str, it: Battery) -> Iterator[Figure]:
    supply = supply_of(situation, controller)
    if not it.charger_current_a or not it.capacity_ah or supply is None or supply.standing_current_a is None:
        yield "Charger", NOT_DESCRIBED if not it.charger_current_a else f"{it.charger_current_a:g} A"
        return
    verdict = charger_verdict(it.charger_current_a, it.capacity_ah, supply.standing_current_a)
    enough = "enough" if verdict.is_enough else "TOO LITTLE"
    yield (
        "Charger, to 80 % in 24 h beside the standing current",
        (f"{verdict.needed_a:.1f} A needed, {verdict.given_a:g} A given: {enough}"),
    )
