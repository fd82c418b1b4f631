"""What a controller's supply gives at the moment: mains, power unit, battery, and the voltage on its busbars."""

from __future__ import annotations

from dataclasses import dataclass

from diag.site import Site
from diag.virtual.fitted import ControllerCondition

RATED_V, RATED_A = 24.0, 10.0
"""Taken for a controller whose supply is not described."""
WORKS_FROM_SHARE = 0.7
"""Below this share of its voltage the electronics give up; common practice, no source."""
CELL_GROUP_V = 12.0
FULL_V, EMPTY_V = 12.8, 11.4
"""Rest voltage of a full and an empty group of six lead-acid cells."""
GROUP_OHM = 0.03
"""Inner resistance of a healthy group; common practice, no source."""
FLOAT_V = 13.7


@dataclass(frozen=True, slots=True)
class Busbars:
    """The 24 V side of a controller under its load of the moment."""

    voltage_v: float
    mains: bool
    on_battery: bool
    alive: bool


def busbars(site: Site, part: str, condition: ControllerCondition, load_a: float) -> Busbars:
    """Return what the controller's own supply gives at this load."""
    supply = site.controllers[part].supply
    rated_v = (supply.rated_voltage_v if supply else None) or RATED_V
    rated_a = (supply.rated_current_a if supply else None) or RATED_A
    load_a += condition.extra_load_a
    mains = has_mains(condition)
    unit_v = unit_voltage(condition, rated_v, rated_a, load_a) if mains and condition.fuse_whole else 0.0
    battery_v = battery_voltage(condition, rated_v, load_a) if condition.has_battery else 0.0
    on_battery = unit_v < WORKS_FROM_SHARE * rated_v and battery_v > 0
    voltage = max(unit_v, battery_v) if on_battery else unit_v
    alive = voltage >= WORKS_FROM_SHARE * rated_v and condition.board != "dead"
    return Busbars(voltage, mains, on_battery, alive)


def has_mains(condition: ControllerCondition) -> bool:
    """Return whether mains reaches the controller's terminals."""
    return condition.isolator_on and condition.mains_lead == "sound"


def unit_voltage(condition: ControllerCondition, rated_v: float, rated_a: float, load_a: float) -> float:
    """Return the power unit's voltage; above its current it gives way so that the current stays."""
    limit_a = rated_a * condition.unit_current_share
    sag = min(1.0, limit_a / load_a) if load_a > 0 else 1.0
    return rated_v * condition.unit_voltage_share * sag


def battery_voltage(condition: ControllerCondition, rated_v: float, load_a: float) -> float:
    """Return the battery's voltage under this load; 0 when it is not connected or empty."""
    if not condition.has_battery or not condition.battery_linked or condition.battery_charge < 0.05:
        return 0.0
    groups = rated_v / CELL_GROUP_V
    rest = groups * (EMPTY_V + (FULL_V - EMPTY_V) * condition.battery_charge)
    return max(0.0, rest - load_a * groups * GROUP_OHM / float(condition.battery_health**1.5))


def battery_rest_voltage(condition: ControllerCondition, rated_v: float) -> float:
    """Return the battery's voltage off charger and load, between its own terminals."""
    if not condition.has_battery:
        return 0.0
    groups = rated_v / CELL_GROUP_V
    span = (FULL_V - EMPTY_V) * min(condition.battery_charge, 0.5 + condition.battery_health)
    return groups * (EMPTY_V + span)


def battery_after_load(condition: ControllerCondition, rated_v: float, charged: bool) -> float:
    """Return the volts after five minutes of load, as found or after a day of charging."""
    groups = rated_v / CELL_GROUP_V
    charge = condition.battery_charge
    if charged:
        charge = max(charge, min(1.0, charge + condition.charger_share**8))
    if not condition.battery_linked:
        return 0.0
    ability = charge * condition.battery_health
    return groups * (12.3 - 2.2 * max(0.0, 0.6 - ability) / 0.6)
