"""Say what mains, power unit, charger and battery should show."""

from __future__ import annotations

from diag.calculators.battery import Battery as Cells
from diag.calculators.battery import standby_hours
from diag.calculators.battery_sizing import float_window_v
from diag.expectations.borders import (
    AT_REST_LOW,
    CELL_GROUP_V,
    CHARGER_LOW_V,
    DC_HIGH,
    DC_LOW,
    END_V,
    MAINS_TOLERANCE,
    RESTED_FULL_V,
)
from diag.expectations.currents import drives_on
from diag.expectations.words import amperes, text_of, volts
from diag.facts import Situation
from diag.observations import Expectation
from diag.site import Battery, Supply
from diag.site_circuits import total_running_a

DAYS_A_YEAR = 365.25


def mains(situation: Situation, controller: str) -> Expectation | None:
    """Return the mains voltage at a controller."""
    supply = supply_of(situation, controller)
    if supply is None or supply.mains_voltage_v is None:
        return None
    low, high = (1 - MAINS_TOLERANCE) * supply.mains_voltage_v, (1 + MAINS_TOLERANCE) * supply.mains_voltage_v
    text = text_of(
        f"{supply.mains_voltage_v:.0f} V AC, within {low:.0f} to {high:.0f} V",
        "None to neutral but some to earth means an open neutral",
    )
    return Expectation(text, {"mains-low-limit": low}, calculated=True)


def supply_of(situation: Situation, controller: str) -> Supply | None:
    """Return what the description says of a controller's supply."""
    return situation.scope.topology.site.controllers[controller].supply


def at_rest(situation: Situation, controller: str) -> Expectation | None:
    """Return the voltage of the power unit with nothing moving."""
    supply = supply_of(situation, controller)
    if supply is None or supply.rated_voltage_v is None:
        return None
    low, high = AT_REST_LOW * supply.rated_voltage_v, DC_HIGH * supply.rated_voltage_v
    text = f"About {supply.rated_voltage_v:.0f} V with nothing moving, within {low:.1f} to {high:.1f} V"
    battery = supply.battery is not None or supply.has_battery
    state = "Lower and falling means it runs on its battery" if battery else ""
    means = "0 V with mains present means an open fuse or a dead power unit"
    return Expectation(text_of(text, state, means), {"supply-idle-low-limit": low}, calculated=True)


def loaded(situation: Situation, controller: str) -> Expectation | None:
    """Return the voltage of the power unit with drives running."""
    supply = supply_of(situation, controller)
    if supply is None or supply.rated_voltage_v is None:
        return None
    low = DC_LOW * supply.rated_voltage_v
    draw = _draw(situation, controller, supply)
    means = "Good at rest and low now means an overloaded or failing power unit, or a weak battery"
    text = text_of(f"No less than {low:.1f} V with the drives running", draw, means)
    return Expectation(text, {"supply-low-limit": low}, calculated=True)


def _draw(situation: Situation, controller: str, supply: Supply) -> str:
    current = total_running_a(situation.scope.topology, drives_on(situation, controller))
    if current is None:
        return ""
    rated = f" of the {supply.rated_current_a:.1f} A it can give" if supply.rated_current_a else ""
    return f"All drives together draw {current:.1f} A{rated}"


def battery_of(situation: Situation, controller: str) -> Battery | None:
    """Return what the description says of a controller's battery."""
    supply = supply_of(situation, controller)
    return supply.battery if supply else None


def battery_rested(situation: Situation, controller: str) -> Expectation | None:
    """Return the voltage of a battery off its charger, by its state."""
    battery = battery_of(situation, controller)
    if battery is None or battery.voltage_v is None:
        return None
    groups = battery.voltage_v / CELL_GROUP_V
    empty, low = 12.0 * groups, 12.5 * groups
    text = text_of(
        f"About {volts(RESTED_FULL_V * groups)} rested and full, no less than {volts(low)}",
        f"Below {volts(empty)} it is empty",
        _stands(situation, controller, battery),
    )
    return Expectation(text, {"battery-empty": empty, "battery-low": low}, calculated=True)


def _stands(situation: Situation, controller: str, battery: Battery) -> str:
    """Return how long the battery can be expected to carry the standing current at its age."""
    hours = standby_hours_expected(situation, controller)
    if hours is None:
        return ""
    asked = f"; {battery.required_standby_hours:g} h are asked for" if battery.required_standby_hours else ""
    return f"Full, it should carry the standing current for about {hours:.0f} h at its age{asked}"


def standby_hours_expected(situation: Situation, controller: str) -> float | None:
    """Return the hours a full battery can be expected to stand by at its age, at 20 degrees; None where unknown."""
    supply, battery = supply_of(situation, controller), battery_of(situation, controller)
    age_years = battery_age_years(situation, controller)
    if supply is None or battery is None or not battery.capacity_ah or not supply.standing_current_a:
        return None
    if age_years is None:
        return None
    return standby_hours(Cells(battery.capacity_ah, age_years), supply.standing_current_a)


def battery_age_years(situation: Situation, controller: str) -> float | None:
    """Return the age of a battery today, or None when the day or the date of its fitting is not known."""
    battery, today = battery_of(situation, controller), situation.described.today
    if battery is None or battery.installed is None or today is None or today < battery.installed:
        return None
    return (today - battery.installed).days / DAYS_A_YEAR


def battery_loaded(situation: Situation, controller: str) -> Expectation | None:
    """Return what a battery holds under load."""
    battery = battery_of(situation, controller)
    if battery is None or battery.voltage_v is None:
        return None
    end = END_V * battery.voltage_v / CELL_GROUP_V
    current = total_running_a(situation.scope.topology, drives_on(situation, controller))
    load = f"With all drives running it gives {current:.1f} A" if current else ""
    means = f"Down to {volts(end)} its capacity is gone, or it was not full"
    text = text_of(f"Stays well above {volts(end)} for five minutes under load", load, means)
    return Expectation(text, {"battery-end": end}, calculated=True)


def charger(situation: Situation, controller: str) -> Expectation | None:
    """Return the voltage of the charger."""
    battery = battery_of(situation, controller)
    if battery is None or battery.voltage_v is None:
        return None
    low, high = float_window_v(20.0, battery.voltage_v)
    least = CHARGER_LOW_V * battery.voltage_v / CELL_GROUP_V
    text = text_of(
        f"{low:.1f} to {high:.1f} V at 20 to 25 °C, a little more in the cold, no less than {volts(least)}",
        f"Below {volts(least)} the battery does not get full",
        "0 V means a dead charger or its fuse; some give nothing without a battery",
    )
    return Expectation(text, {"charger-low": least}, calculated=True)


def battery_leads(situation: Situation, controller: str) -> Expectation | None:
    """Return the resistance of leads, link and fuse of a battery, and what it costs under load."""
    battery = battery_of(situation, controller)
    current = total_running_a(situation.scope.topology, drives_on(situation, controller))
    if battery is None or not current:
        return None
    text = text_of(
        "Below 1 ohm each",
        f"With all drives running at {amperes(current)}, every 0.1 ohm takes {volts(0.1 * current)}",
        "Open means the battery is not connected",
    )
    return Expectation(text, calculated=True)


def supply_fuse(situation: Situation, controller: str) -> Expectation | None:
    """Return the resistance of the supply fuse, and its rating."""
    supply = supply_of(situation, controller)
    if supply is None or supply.fuse_a is None:
        return None
    return whole_fuse(supply.fuse_a, "Open, the controller has no supply: find why before you renew it")


def output_fuse(situation: Situation, output: str) -> Expectation | None:
    """Return the resistance of an output's fuse, and its rating."""
    rated = situation.scope.topology.site.outputs[output].fuse_a
    return whole_fuse(rated, "Open, the output is dead: find why before you renew it") if rated else None


def whole_fuse(rated_a: float, means: str) -> Expectation:
    """Return what a whole fuse reads."""
    said = text_of(f"Below 10 ohm, marked {rated_a:g} A", means, f"Another rating than {rated_a:g} A is wrong here")
    return Expectation(said, calculated=True)
