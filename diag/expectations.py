"""Say what a check should show at this part of this site, from its description and the calculators."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime

from diag.calculators.conductors import core_resistance_ohm
from diag.expectations_published import PUBLISHED
from diag.facts import Situation
from diag.observations import Expectation
from diag.scope import is_stand_in
from diag.site import Battery, Drive, Input, Supply
from diag.site_circuits import TAKEN_CLASS, TAKEN_TEMPERATURE_C, supply_voltage_v, total_running_a
from knowledge.entries import Check

MAINS_TOLERANCE = 0.10
"""IEC 60038 and EN 50160, from memory: 230 V within 10 %."""
DC_LOW, DC_HIGH = 0.85, 1.20
"""IEC 61131-2, from memory: 24 V DC within -15 and +20 %."""
END_OF_LINE_TOLERANCE = 0.05
"""IEC 60062 letter J."""
HALF_LOW, HALF_HIGH = 0.45, 0.55
"""Two equal end-of-line elements in parallel read half; the borders leave 10 % for tolerance and cable."""
CELL_GROUP_V = 12.0

Calculator = Callable[[Situation, str], Expectation | None]


def expect(check: Check, situation: Situation, part: str) -> Expectation:
    """Return the reading to expect at the part; the entry's own words where the site does not tell more."""
    kinds, calculator = CALCULATORS.get(check.expects or "", ((), None))
    if calculator is None or is_stand_in(part) or situation.scope.kind(part) not in kinds:
        return Expectation(check.expect_text)
    return calculator(situation, part) or Expectation(check.expect_text)


def _voltage_at_drive(situation: Situation, drive: str) -> Expectation | None:
    output = situation.scope.topology.output_of(drive)
    supply = situation.described.supplies(output).get(drive) if output else None
    if supply is None or supply.alone_v is None:
        return None
    text = f"About {supply.alone_v:.1f} V while it runs alone"
    if supply.together_v is not None and supply.alone_v - supply.together_v >= 0.05:
        text += f", {supply.together_v:.1f} V while all drives of this output run"
    limits = {}
    if supply.minimum_v is not None:
        text += f". Below {supply.minimum_v:.1f} V it may not run"
        limits["drive-voltage-low-limit"] = supply.minimum_v
    return Expectation(text + _said(supply.taken) + ".", limits, calculated=True)


def _said(taken: tuple[str, ...]) -> str:
    return f" (taken for the cable: {', '.join(taken)})" if taken else ""


def _voltage_at_output(situation: Situation, output: str) -> Expectation | None:
    volts = supply_voltage_v(situation.scope.topology, output)
    if volts is None:
        return None
    text = f"About {volts:.0f} V while it is commanded, 0 V at rest."
    if situation.scope.topology.site.outputs[output].kind == "reversing-24v":
        text = f"About {volts:.0f} V while it is commanded, the sign changing with the direction, and 0 V at rest."
    return Expectation(text, {"output-voltage-low-limit": DC_LOW * volts}, calculated=True)


def _supply(situation: Situation, controller: str) -> Supply | None:
    return situation.scope.topology.site.controllers[controller].supply


def _supply_idle(situation: Situation, controller: str) -> Expectation | None:
    supply = _supply(situation, controller)
    if supply is None or supply.rated_voltage_v is None:
        return None
    low, high = DC_LOW * supply.rated_voltage_v, DC_HIGH * supply.rated_voltage_v
    text = f"About {supply.rated_voltage_v:.0f} V with nothing moving, within {low:.1f} to {high:.1f} V."
    return Expectation(text, {"supply-low-limit": low}, calculated=True)


def _supply_loaded(situation: Situation, controller: str) -> Expectation | None:
    supply = _supply(situation, controller)
    if supply is None or supply.rated_voltage_v is None:
        return None
    low = DC_LOW * supply.rated_voltage_v
    text = f"No less than {low:.1f} V with the drives running"
    current = total_running_a(situation.scope.topology, _drives_on(situation, controller))
    if current is not None:
        text += f". All drives together draw {current:.1f} A"
        text += f" of the {supply.rated_current_a:.1f} A it can give" if supply.rated_current_a else ""
    return Expectation(text + ".", {"supply-low-limit": low}, calculated=True)


def _drives_on(situation: Situation, controller: str) -> list[str]:
    topology = situation.scope.topology
    outputs = topology.outputs_of_controller(controller)
    return [it for output in outputs for it in topology.consumers_of_output(output) if topology.kind(it) == "drive"]


def _mains_voltage(situation: Situation, controller: str) -> Expectation | None:
    supply = _supply(situation, controller)
    if supply is None or supply.mains_voltage_v is None:
        return None
    low, high = (1 - MAINS_TOLERANCE) * supply.mains_voltage_v, (1 + MAINS_TOLERANCE) * supply.mains_voltage_v
    text = f"{supply.mains_voltage_v:.0f} V AC, within {low:.0f} to {high:.0f} V."
    return Expectation(text, {"mains-low-limit": low}, calculated=True)


def _current_of_drive(situation: Situation, drive: str) -> Expectation | None:
    it: Drive = situation.scope.topology.site.drives[drive]
    if it.running_current_a is None:
        return None
    text = f"About {it.running_current_a:g} A while it runs"
    if it.cut_off_current_a is None:
        return Expectation(text + ".", calculated=True)
    text += f"; it cuts off at {it.cut_off_current_a:g} A."
    return Expectation(text, {"drive-current-high-limit": it.cut_off_current_a}, calculated=True)


def _current_of_output(situation: Situation, output: str) -> Expectation | None:
    topology = situation.scope.topology
    drives = [it for it in topology.consumers_of_output(output) if topology.kind(it) == "drive"]
    current = total_running_a(topology, drives)
    if current is None:
        return None
    rated = topology.site.outputs[output].rated_current_a
    text = (
        f"About {current:.1f} A with all {len(drives)} drives running" if len(drives) > 1 else f"About {current:.1f} A"
    )
    limits = {"output-current-high-limit": rated} if rated else {}
    return Expectation(text + (f"; the output is rated {rated:g} A." if rated else "."), limits, calculated=True)


def _end_of_line(situation: Situation, part: str) -> Expectation | None:
    site = situation.scope.topology.site
    described = site.outputs.get(part) or site.inputs.get(part)
    value: float | None = getattr(described, "end_of_line_ohm", None)
    if value is None:
        return None
    low, high = (1 - END_OF_LINE_TOLERANCE) * value, (1 + END_OF_LINE_TOLERANCE) * value
    text = (
        f"{_ohms(value)}, within {_ohms(low)} to {_ohms(high)}, with the line disconnected from the controller. "
        f"Open means a break, near zero a short, {_ohms(value / 2)} a second element."
    )
    limits = {
        "end-of-line-half-low": HALF_LOW * value,
        "end-of-line-half-high": HALF_HIGH * value,
        "end-of-line-low": low,
        "end-of-line-high": high,
    }
    return Expectation(text, limits, calculated=True)


def _ohms(value: float) -> str:
    return f"{value / 1000:.3g} kilohm" if value >= 1000 else f"{value:.3g} ohm"


def _core_resistance(situation: Situation, cable: str) -> Expectation | None:
    it = situation.scope.topology.site.cables[cable]
    if it.length_m is None or it.area_mm2 is None:
        return None
    taken = [] if it.conductor_class else [f"conductor class {TAKEN_CLASS}"]
    taken += [] if it.temperature_c is not None else [f"{TAKEN_TEMPERATURE_C:.0f} degrees"]
    temperature_c = TAKEN_TEMPERATURE_C if it.temperature_c is None else it.temperature_c
    most = core_resistance_ohm(it.length_m, it.area_mm2, it.conductor_class or TAKEN_CLASS, temperature_c)
    text = f"At most {most:.2f} ohm for each core of {it.length_m:g} m, {it.area_mm2:g} mm2{_said(tuple(taken))}."
    return Expectation(text, {"core-resistance-high": 2 * most + 0.5}, calculated=True)


def _battery(situation: Situation, controller: str) -> Battery | None:
    supply = _supply(situation, controller)
    return supply.battery if supply else None


def _battery_rest(situation: Situation, controller: str) -> Expectation | None:
    battery = _battery(situation, controller)
    if battery is None or battery.voltage_v is None:
        return None
    groups = battery.voltage_v / CELL_GROUP_V
    text = f"About {12.8 * groups:.1f} V rested and full; below {12.0 * groups:.1f} V it is empty."
    return Expectation(text, {"battery-empty": 12.0 * groups, "battery-low": 12.4 * groups}, calculated=True)


def _battery_load(situation: Situation, controller: str) -> Expectation | None:
    battery = _battery(situation, controller)
    if battery is None or battery.voltage_v is None:
        return None
    end = 10.8 * battery.voltage_v / CELL_GROUP_V
    return Expectation(
        f"Stays well above {end:.1f} V for five minutes under load.", {"battery-end": end}, calculated=True
    )


def _charger_voltage(situation: Situation, controller: str) -> Expectation | None:
    battery = _battery(situation, controller)
    if battery is None or battery.voltage_v is None:
        return None
    groups = battery.voltage_v / CELL_GROUP_V
    text = f"{13.6 * groups:.1f} to {13.8 * groups:.1f} V at 20 degrees, a little more in the cold."
    return Expectation(text, {"charger-low": 13.2 * groups}, calculated=True)


def _travel_time(situation: Situation, drive: str) -> Expectation | None:
    it: Drive = situation.scope.topology.site.drives[drive]
    if it.stroke_mm is None or it.manual_speed_mm_s is None:
        return None
    seconds = it.stroke_mm / it.manual_speed_mm_s
    text = f"About {seconds:.0f} s for {it.stroke_mm:.0f} mm by hand"
    if it.automatic_speed_mm_s:
        text += f", {it.stroke_mm / it.automatic_speed_mm_s:.0f} s on an automatic command"
    limits = {"travel-time-high": 1.25 * seconds, "travel-time-low": 0.75 * seconds}
    return Expectation(text + ".", limits, calculated=True)


def _hold_off(situation: Situation, zone: str) -> Expectation | None:
    minutes = situation.hold_off_minutes(zone)
    if minutes is None:
        return None
    now = situation.hold_off(zone)
    text = f"After a manual command this zone keeps automatic out for {minutes:g} minutes"
    if now.since is not None:
        text += f". The last one was at {_clock(now.since)}"
    if now.resumes_at is not None:
        text += f", so automatic works again at {_clock(now.resumes_at)}"
    return Expectation(text + ".", {"hold-off-minutes": minutes}, calculated=True)


def _clock(time: datetime) -> str:
    return time.strftime("%H:%M")


def _lockouts_now(situation: Situation, zone: str) -> Expectation | None:
    topology = situation.scope.topology
    lockouts = topology.lockouts_of_zone(zone)
    if not lockouts:
        return None
    names = ", ".join(topology.name(lockout) for lockout in lockouts)
    return Expectation(f"This zone has: {names}. None of them may stand without its cause.", calculated=True)


def _discovery_count(situation: Situation, output: str) -> Expectation | None:
    topology = situation.scope.topology
    drives = [topology.site.drives[it] for it in topology.consumers_of_output(output) if it in topology.site.drives]
    if not drives or any(it.addressable is None for it in drives):
        return None
    seen = sum(1 for it in drives if it.addressable)
    text = f"Discovery finds {seen} of the {len(drives)} drives on this output"
    text += "; the others cannot be seen by it." if seen < len(drives) else "."
    return Expectation(text, {"discovery-count": float(seen)}, calculated=True)


def _sensor_signal(situation: Situation, part: str) -> Expectation | None:
    it: Input = situation.scope.topology.site.inputs[part]
    spans = {"0-10v": "0 to 10 V", "4-20ma": "4 to 20 mA; 3.6 mA or less, or 21 mA or more, means a failed sensor"}
    if it.signal not in spans or it.range_low is None or it.range_high is None:
        return None
    return Expectation(
        f"{spans[it.signal]} for {it.range_low:g} to {it.range_high:g} {it.unit or ''}.", calculated=True
    )


def _hold_threshold(situation: Situation, part: str) -> Expectation | None:
    it: Input = situation.scope.topology.site.inputs[part]
    if it.hold_threshold_s is None:
        return None
    return Expectation(f"A press longer than {it.hold_threshold_s:g} s counts as a hold.", calculated=True)


def _set_point(situation: Situation, part: str) -> Expectation | None:
    it: Input = situation.scope.topology.site.inputs[part]
    if it.set_point is None:
        return None
    return Expectation(f"The description says {it.set_point:g} {it.unit or ''}".rstrip() + ".", calculated=True)


CALCULATORS: Mapping[str, tuple[tuple[str, ...], Calculator]] = {
    "voltage-at-drive": (("drive",), _voltage_at_drive),
    "voltage-at-output": (("output",), _voltage_at_output),
    "supply-idle": (("controller",), _supply_idle),
    "supply-loaded": (("controller",), _supply_loaded),
    "mains-voltage": (("controller",), _mains_voltage),
    "current-of-drive": (("drive",), _current_of_drive),
    "current-of-output": (("output",), _current_of_output),
    "end-of-line": (("output", "input"), _end_of_line),
    "core-resistance": (("cable",), _core_resistance),
    "battery-rest": (("controller",), _battery_rest),
    "battery-load": (("controller",), _battery_load),
    "charger-voltage": (("controller",), _charger_voltage),
    "travel-time": (("drive",), _travel_time),
    "hold-off": (("zone",), _hold_off),
    "lockouts-now": (("zone",), _lockouts_now),
    "discovery-count": (("output",), _discovery_count),
    "sensor-signal": (("input",), _sensor_signal),
    "hold-threshold": (("input",), _hold_threshold),
    "set-point": (("input",), _set_point),
    **PUBLISHED,
}
"""For each quantity a check may expect: the kinds of part it is worked out for, and how."""
