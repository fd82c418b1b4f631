"""List, for each quantity a check may expect, the kinds of part it is worked out for, and how."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from diag.expectations import currents, lines, movement, settings, signals, supplies, voltages
from diag.facts import Situation
from diag.observations import Expectation

Calculator = Callable[[Situation, str], Expectation | None]

CALCULATORS: Mapping[str, tuple[tuple[str, ...], Calculator]] = {
    "voltage-at-drive": (("drive",), voltages.at_drive),
    "voltage-at-junction": (("junction",), voltages.at_junction),
    "voltage-at-output": (("output",), voltages.at_output),
    "output-at-rest": (("output",), voltages.at_rest),
    "data-core-voltage": (("drive",), voltages.on_data_core),
    "joint-drop": (("junction",), voltages.across_joint),
    "current-of-drive": (("drive",), currents.of_drive),
    "current-of-output": (("output",), currents.of_output),
    "current-of-supply": (("controller",), currents.of_supply),
    "current-of-fan": (("fan",), currents.of_fan),
    "mains-voltage": (("controller",), supplies.mains),
    "supply-idle": (("controller",), supplies.at_rest),
    "supply-loaded": (("controller",), supplies.loaded),
    "battery-rest": (("controller",), supplies.battery_rested),
    "battery-load": (("controller",), supplies.battery_loaded),
    "charger-voltage": (("controller",), supplies.charger),
    "battery-leads": (("controller",), supplies.battery_leads),
    "supply-fuse": (("controller",), supplies.supply_fuse),
    "output-fuse": (("output",), supplies.output_fuse),
    "end-of-line": (("output", "input"), lines.end_of_line),
    "core-resistance": (("cable",), lines.core_resistance),
    "between-cores": (("cable",), lines.between_cores),
    "field-line": (("output",), lines.field_line),
    "insulation": (("cable",), lines.insulation),
    "input-line": (("input",), lines.input_line),
    "sensor-signal": (("input",), signals.of_sensor),
    "positioner-signal": (("drive",), signals.of_positioner),
    "thermometer": (("input",), signals.beside_thermometer),
    "co2-outdoors": (("input",), signals.outdoors),
    "switch-contact": (("input",), signals.of_contact),
    "input-voltage": (("input",), signals.at_input),
    "link-termination": (("link",), signals.link_termination),
    "link-at-rest": (("link",), signals.link_at_rest),
    "travel-time": (("drive",), movement.travel_time),
    "smoke-travel-time": (("zone",), movement.smoke_travel_time),
    "opening-limit": (("zone",), movement.opening_limit),
    "run-time": (("output",), movement.run_time),
    "hand-force": (("opening",), movement.force_by_hand),
    "hold-off": (("zone",), settings.hold_off),
    "lockouts-now": (("zone",), settings.lockouts_now),
    "discovery-count": (("output",), settings.discovery_count),
    "hold-threshold": (("input",), settings.hold_threshold),
    "set-point": (("input",), settings.set_point),
}
