"""What an inspector compares at a controller: its supply, its battery and charger, and what they must carry."""

from __future__ import annotations

from diag.calculators.battery import Battery as LeadAcid
from diag.calculators.battery import expected_capacity_ah
from diag.calculators.battery_sizing import charger_verdict, required_capacity_ah
from diag.inspection.view import View, Words, against, some_none, yes_no
from diag.site import Battery, Supply

POWER_UNIT_EFFICIENCY = 0.85
"""Of a power unit at full load: common practice, no source."""
RESERVE_SHARE = 0.8
NOMINAL_V = (100.0, 120.0, 230.0, 277.0, 400.0)
"""Nominal mains voltages (IEC 60038, from memory)."""
ALARM_HOURS = 180 / 3600
"""A smoke supply must move all once after standby, for 180 s (EN 12101-10 6.2.2, as quoted in the trade)."""
CAPACITY_MARGIN = 1.25
"""NFPA 72-2022 10.6.10.1; editions to 2019 have 1.20."""


def controller_words(view: View, part: str) -> Words:
    """Return the words and figures of one controller."""
    it = view.site.controllers[part]
    supply = it.supply or Supply()
    has_battery = True if supply.battery else supply.has_battery
    outputs = view.topology.outputs_of_controller(part)
    return {
        "serves_smoke": yes_no(it.serves_smoke),
        "comfort_on_battery": yes_no(it.comfort_on_battery),
        "automatic_enabled": yes_no(it.automatic_enabled),
        "mains_voltage_v": supply.mains_voltage_v,
        "mains": None if supply.mains_voltage_v is None else _mains(supply.mains_voltage_v),
        "rated_voltage_v": supply.rated_voltage_v,
        "rated_current_a": supply.rated_current_a,
        "standing_current_a": supply.standing_current_a,
        "fuse_a": supply.fuse_a,
        "battery": yes_no(has_battery),
        "outputs": some_none(outputs, view.complete("outputs", "controller")),
        "inputs": some_none(view.topology.inputs_of_controller(part), view.complete("inputs", "controller")),
        "mains_output": yes_no(any(view.site.outputs[one].kind == "three-core-230v" for one in outputs) or None),
        **_smoke_words(view, part),
        **_load_words(view, part, supply),
        **(_battery_words(view, part, supply, supply.battery) if supply.battery else {}),
    }


def _mains(volts: float) -> str:
    return "known" if any(abs(volts / nominal - 1.0) <= 0.1 for nominal in NOMINAL_V) else "odd"


def _drives(view: View, part: str) -> list[str]:
    return [drive for output in view.topology.outputs_of_controller(part) for drive in view.drives_on(output)]


def _smoke_drives(view: View, part: str) -> list[str]:
    openings = view.site.openings
    named = ((drive, view.site.drives[drive].opening) for drive in _drives(view, part))
    return [drive for drive, opening in named if opening and openings[opening].smoke]


def _smoke_words(view: View, part: str) -> Words:
    smoke = _smoke_drives(view, part)
    springs = [view.site.drives[drive].spring_return for drive in smoke]
    return {"moves_smoke": yes_no(bool(smoke) or None), "fails_safe": yes_no(all(springs) if springs else None)}


def _load_words(view: View, part: str, supply: Supply) -> Words:
    low = [drive for drive in _drives(view, part) if not _is_mains(view, drive)]
    standing = supply.standing_current_a or 0.0
    running, starting = view.running_a(low), view.starting_a(low)
    drawn = None if running is None else running + standing
    started = None if starting is None else starting + standing
    rated, fused = supply.rated_current_a, supply.fuse_a
    mains_a = _mains_a(supply)
    return {
        "drawn_a": drawn,
        "starting_a": started,
        "mains_a": mains_a,
        "loading": _loading(drawn, rated),
        "starting": against(started, rated, "over"),
        "mains_fuse": against(mains_a, fused, "under"),
    }


def _is_mains(view: View, drive: str) -> bool:
    output = view.site.drives[drive].output
    return output is not None and view.site.outputs[output].kind == "three-core-230v"


def _loading(drawn: float | None, rated: float | None) -> str | None:
    if drawn is None or rated is None:
        return None
    return "over" if drawn > rated else "thin" if drawn > rated * RESERVE_SHARE else "ok"


def _mains_a(supply: Supply) -> float | None:
    if not (supply.mains_voltage_v and supply.rated_voltage_v and supply.rated_current_a):
        return None
    return supply.rated_voltage_v * supply.rated_current_a / supply.mains_voltage_v / POWER_UNIT_EFFICIENCY


def _battery_words(view: View, part: str, supply: Supply, battery: Battery) -> Words:
    needed = needed_ah(view, part, supply, battery, CAPACITY_MARGIN)
    bare = needed_ah(view, part, supply, battery, 1.0)
    years = view.years_since(battery.installed)
    now = _capacity_now(battery, years)
    return {
        "battery_voltage_v": battery.voltage_v,
        "capacity_ah": battery.capacity_ah,
        "required_standby_hours": battery.required_standby_hours,
        "charger_current_a": battery.charger_current_a,
        "battery_years": years,
        "needed_ah": needed,
        "needed_now_ah": bare,
        "capacity_now_ah": now,
        "battery_voltage": _voltage_match(battery.voltage_v, supply.rated_voltage_v),
        "battery_capacity": against(needed, battery.capacity_ah, "short"),
        "battery_now": against(bare, now, "short"),
        **_charger_words(supply, battery),
    }


def needed_ah(view: View, part: str, supply: Supply, battery: Battery, margin: float) -> float | None:
    """Return the capacity for the standby asked for and one movement of the smoke drives, or None."""
    standing, hours = supply.standing_current_a, battery.required_standby_hours
    smoke = _smoke_drives(view, part)
    moving = view.running_a(smoke) if smoke else 0.0
    if standing is None or hours is None or moving is None:
        return None
    return required_capacity_ah(standing, hours, moving, ALARM_HOURS, margin)


def _capacity_now(battery: Battery, years: float | None) -> float | None:
    if battery.capacity_ah is None or years is None or years < 0:
        return None
    return expected_capacity_ah(LeadAcid(battery.capacity_ah, age_years=years))


def _voltage_match(battery_v: float | None, supply_v: float | None) -> str | None:
    """A set within 15 % of the supply's voltage belongs to it; half or double does not."""
    if battery_v is None or supply_v is None:
        return None
    return "matches" if abs(battery_v / supply_v - 1.0) <= 0.15 else "differs"


def _charger_words(supply: Supply, battery: Battery) -> Words:
    charger, capacity = battery.charger_current_a, battery.capacity_ah
    if charger is None or capacity is None:
        return {}
    verdict = charger_verdict(charger, capacity, supply.standing_current_a or 0.0)
    return {
        "charger": "ok" if verdict.is_enough else "short",
        "charger_needed_a": verdict.needed_a,
        "charge_share": charger / capacity,
    }
