"""Where a cause can sit, beyond the kind of its part: what the site must have there."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from diag.topology import Topology

Fits = Callable[[Topology, str], bool]


def _input_of(*kinds: str) -> Fits:
    return lambda topology, part: topology.site.inputs[part].kind in kinds


def _output_of(*kinds: str) -> Fits:
    return lambda topology, part: topology.site.outputs[part].kind in kinds


def _has_battery(topology: Topology, part: str) -> bool:
    supply = topology.site.controllers[part].supply
    return bool(supply and (supply.has_battery or supply.battery))


def _drive_on(*kinds: str) -> Fits:
    def fits(topology: Topology, part: str) -> bool:
        output = topology.site.outputs.get(topology.output_of(part) or "")
        return output is not None and output.kind in kinds

    return fits


def _feeds_drives(topology: Topology, part: str) -> bool:
    return any(it in topology.site.drives for it in topology.fed_through(part))


def _has_data(topology: Topology, part: str) -> bool:
    return bool(topology.site.cables[part].data_core) and _feeds_drives(topology, part)


def _is_damper(topology: Topology, part: str) -> bool:
    return topology.site.openings[part].kind in ("damper", "louvre")


def _moves_damper(topology: Topology, part: str) -> bool:
    opening = topology.site.drives[part].opening
    return bool(opening) and _is_damper(topology, str(opening))


def _is_window(topology: Topology, part: str) -> bool:
    return topology.site.openings[part].kind in ("window", "roof-vent")


def _has_two_drives(topology: Topology, part: str) -> bool:
    return len(topology.drives_of_opening(part)) > 1


def _has_lock(topology: Topology, part: str) -> bool:
    return bool(topology.site.openings[part].locks)


def _shares_output(topology: Topology, part: str) -> bool:
    output = topology.output_of(part)
    return bool(topology.site.drives[part].addressable) and len(topology.consumers_of_output(output or "")) > 1


def _is_supervised(topology: Topology, part: str) -> bool:
    return bool(topology.site.outputs[part].supervised)


def _has_analogue(topology: Topology, part: str) -> bool:
    signals = [topology.site.inputs[it].signal for it in topology.inputs_of_controller(part)]
    return any(it in ("0-10v", "4-20ma", "pt1000", "ntc-10k") for it in signals)


def _crossable(topology: Topology, part: str) -> bool:
    kind = topology.site.outputs[part].kind
    return sum(it.kind == kind for it in topology.site.outputs.values()) > 1


def _has_rain_input(topology: Topology, part: str) -> bool:
    return any(topology.site.inputs[it].kind == "rain" for it in topology.inputs_of_zone(part))


def _serial(topology: Topology, part: str) -> bool:
    return topology.site.links[part].protocol in ("bacnet-mstp", "modbus-rtu")


def _is_heated(topology: Topology, part: str) -> bool:
    it = topology.site.inputs[part]
    return it.kind == "rain" and it.heated is True


def _is_unheated(topology: Topology, part: str) -> bool:
    it = topology.site.inputs[part]
    return it.kind == "rain" and it.heated is False


def _is_analogue(topology: Topology, part: str) -> bool:
    it = topology.site.inputs[part]
    return it.kind in ("thermostat", "temperature", "co2", "wind") and it.signal not in ("contact", None)


def _has_slow_automatic(topology: Topology, part: str) -> bool:
    drives = [topology.site.drives[it] for it in topology.consumers_of_zone(part) if it in topology.site.drives]
    return any((it.automatic_speed_mm_s or 0) < (it.manual_speed_mm_s or 0) for it in drives)


def _runs_programmes(topology: Topology, part: str) -> bool:
    zones = {zone for it in topology.inputs_of_controller(part) for zone in topology.site.inputs[it].zones or ()}
    return any(topology.schedules_of_zone(it) for it in zones)


SWITCH = _input_of("switch")
FITTING: Mapping[str, Fits] = {
    **dict.fromkeys(
        ("battery-aged", "battery-discharged", "battery-disconnected", "charger-failed", "battery-reserve-kept"),
        _has_battery,
    ),
    **dict.fromkeys(("end-of-line-missing", "end-of-line-wrong"), _is_supervised),
    **dict.fromkeys(("data-cable-too-long", "expected-count-wrong"), _output_of("data-24v")),
    "drives-back-feed": _output_of("three-core-230v"),
    "circuits-crossed": _crossable,
    **dict.fromkeys(
        ("output-overcurrent-trip", "output-overloaded"),
        _output_of("data-24v", "reversing-24v", "three-core-230v", "positioner-0-10v"),
    ),
    **dict.fromkeys(
        ("output-stuck-on", "output-driver-failed"), _output_of("reversing-24v", "three-core-230v", "data-24v")
    ),
    "run-time-too-short": _output_of("reversing-24v", "three-core-230v", "data-24v"),
    "output-type-mismatch": _output_of("data-24v", "reversing-24v", "positioner-0-10v", "positioner-4-20ma"),
    **dict.fromkeys(("core-open", "core-short", "loose-terminal", "cable-undersized", "earth-leakage"), _feeds_drives),
    "data-core-open": _has_data,
    "polarity-swapped": _drive_on("reversing-24v", "three-core-230v", "data-24v"),
    **dict.fromkeys(("data-core-swapped", "drive-not-addressable", "drive-firmware-mismatch"), _drive_on("data-24v")),
    "drive-address-duplicate": _shares_output,
    "damper-linkage-slipped": _moves_damper,
    "damper-blade-stuck": _is_damper,
    "drive-sync-lost": _has_two_drives,
    "lock-not-released": _has_lock,
    **dict.fromkeys(
        ("hinge-seized", "frame-distorted", "snow-or-wind-load", "seal-stuck", "seal-worn", "bracket-loose"), _is_window
    ),
    **dict.fromkeys(
        (
            "switch-contact-failed",
            "switch-contact-stuck",
            "switch-open-close-swapped",
            "switch-common-open",
            "press-too-short",
            "tap-function-missing",
        ),
        SWITCH,
    ),
    **dict.fromkeys(("input-not-assigned", "input-zone-wrong", "input-function-wrong"), _input_of("switch", "rain")),
    **dict.fromkeys(("input-wire-open", "input-wire-short"), _input_of("switch", "rain", "detector-line")),
    "input-on-wrong-terminal": SWITCH,
    "contact-type-wrong": _input_of("rain"),
    "key-switch-off": _input_of("key-switch"),
    "thermostat-set-point": _input_of("thermostat", "co2", "temperature"),
    "sensor-badly-placed": _input_of("thermostat", "temperature"),
    "weather-sensor-sheltered": _input_of("rain", "wind"),
    "sensor-failed": _input_of("thermostat", "temperature", "co2", "wind", "rain"),
    "sensor-scaled-wrong": _is_analogue,
    "sensor-signal-mismatch": _is_analogue,
    "rain-sensor-dirty": _input_of("rain"),
    "rain-sensor-heater-failed": _is_heated,
    "rain-sensor-dew": _is_unheated,
    **dict.fromkeys(("wind-sensor-stuck", "wind-limit-too-low"), _input_of("wind")),
    "co2-sensor-drifted": _input_of("co2"),
    **dict.fromkeys(
        ("detector-dirty", "detector-head-missing", "detector-end-of-line-wrong"), _input_of("detector-line")
    ),
    "call-point-operated": _input_of("call-point"),
    "induced-noise": _has_analogue,
    "alarm-latched": lambda topology, part: bool(topology.site.controllers[part].serves_smoke),
    "insect-screen-clogged": lambda topology, part: bool(topology.site.zones[part].openings),
    "opening-limit-set": lambda topology, part: bool(topology.site.zones[part].openings),
    "schedule-wrong": lambda topology, part: bool(topology.schedules_of_zone(part)),
    "hold-off-active": lambda topology, part: bool(topology.site.zones[part].hold_off_minutes),
    "lockout-active": lambda topology, part: bool(
        {"rain", "wind", "season"} & {topology.site.lockouts[it].kind for it in topology.lockouts_of_zone(part)}
    ),
    "as-designed": _has_slow_automatic,
    "hold-off-too-long": lambda topology, part: bool(topology.site.zones[part].hold_off_minutes),
    "lockout-stuck": lambda topology, part: bool(topology.lockouts_of_zone(part)),
    "command-order-wrong": _has_rain_input,
    "clock-wrong": _runs_programmes,
    "link-pair-swapped": _serial,
    "link-termination-wrong": _serial,
    "link-speed-mismatch": _serial,
    "fan-belt-broken": lambda topology, part: topology.site.fans[part].coupling == "belt",
    "fan-phase-order": lambda topology, part: topology.site.fans[part].phases == 3,
    "fan-drive-fault": lambda topology, part: bool(topology.site.fans[part].speed_controller),
    "fan-interlock-open": lambda topology, part: bool(topology.site.fans[part].interlock),
}
"""Where a cause can sit, beyond the kind of its part: what the site must have there."""
