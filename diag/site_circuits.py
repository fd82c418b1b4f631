"""Lay a described output out as a circuit and work out the voltage and current its drives should see."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from diag.calculators.circuits import Branch, Circuit, ConstantCurrent, Load, Supply, cable
from diag.calculators.conductors import known_areas_mm2
from diag.calculators.flows import solve
from diag.topology import Topology

TAKEN_CLASS, TAKEN_TEMPERATURE_C = 2, 20.0
"""What is taken, and said to be taken, for a cable whose conductor class or temperature is not described."""


@dataclass(frozen=True, slots=True)
class DriveSupply:
    """What one drive should see at its terminals; None where the description does not tell.

    `missing` names the fields that keep it unknown, `taken` what was assumed and must be said.
    """

    alone_v: float | None
    together_v: float | None
    minimum_v: float | None
    missing: tuple[str, ...] = ()
    taken: tuple[str, ...] = ()

    @property
    def margin(self) -> str:
        """Return ok, thin (under 1 V left), short or unknown for all drives of the output running."""
        if self.together_v is None or self.minimum_v is None:
            return "unknown"
        left = self.together_v - self.minimum_v
        return "short" if left < 0 else "thin" if left < 1.0 else "ok"


def supply_voltage_v(topology: Topology, output: str) -> float | None:
    """Return the voltage at the output's terminals: mains for a 230 V output, else its controller's rated voltage."""
    described = topology.site.outputs[output]
    supply = topology.site.controllers[described.controller].supply if described.controller else None
    if supply is None:
        return None
    return supply.mains_voltage_v if described.kind == "three-core-230v" else supply.rated_voltage_v


def drive_supplies(topology: Topology, output: str) -> dict[str, DriveSupply]:
    """Return what each drive of an output should see, running alone and with all drives of the output running."""
    drives = [part for part in topology.consumers_of_output(output) if topology.kind(part) == "drive"]
    volts = supply_voltage_v(topology, output)
    lacking = {drive: _missing(topology, output, drive, volts) for drive in drives}
    known = [drive for drive in drives if not lacking[drive]]
    together = _voltages(topology, output, volts, known) if volts and len(known) == len(drives) else {}
    return {
        drive: DriveSupply(
            alone_v=_voltages(topology, output, volts, [drive])[drive] if volts and drive in known else None,
            together_v=together.get(drive),
            minimum_v=topology.site.drives[drive].min_voltage_v,
            missing=lacking[drive],
            taken=_taken(topology, drive),
        )
        for drive in drives
    }


def total_running_a(topology: Topology, drives: Iterable[str]) -> float | None:
    """Return the sum of the running currents, or None when one is not described."""
    return _total(topology.site.drives[drive].running_current_a for drive in drives)


def total_starting_a(topology: Topology, drives: Iterable[str]) -> float | None:
    """Return the sum of the starting currents, or None when one is not described."""
    return _total(topology.site.drives[drive].starting_current_a for drive in drives)


def _total(currents: Iterable[float | None]) -> float | None:
    listed = list(currents)
    return None if not listed or None in listed else sum(current for current in listed if current)


def _missing(topology: Topology, output: str, drive: str, volts: float | None) -> tuple[str, ...]:
    missing = [] if volts else [f"{output}: supply voltage"]
    if topology.site.drives[drive].running_current_a is None:
        missing.append(f"{drive}: running current")
    path = topology.supply_path(drive)
    if not path or not _reaches(topology, output, path):
        missing.append(f"{drive}: cable to {output}")
    for part in path:
        described = topology.site.cables.get(part)
        if described and (described.length_m is None or described.area_mm2 is None):
            missing.append(f"{part}: length and area")
        elif described and described.area_mm2 not in known_areas_mm2(described.conductor_class or TAKEN_CLASS):
            missing.append(f"{part}: an area that the conductor table has")
    return tuple(missing)


def _reaches(topology: Topology, output: str, path: tuple[str, ...]) -> bool:
    last = topology.site.cables.get(path[-1])
    return last is not None and last.from_ == output


def _taken(topology: Topology, drive: str) -> tuple[str, ...]:
    cables = [topology.site.cables[part] for part in topology.supply_path(drive) if part in topology.site.cables]
    taken = []
    if any(it.conductor_class is None for it in cables):
        taken.append(f"conductor class {TAKEN_CLASS}")
    if any(it.temperature_c is None for it in cables):
        taken.append(f"{TAKEN_TEMPERATURE_C:.0f} degrees")
    return tuple(taken)


def _voltages(topology: Topology, output: str, volts: float, running: list[str]) -> dict[str, float]:
    wanted = {part for drive in running for part in topology.supply_path(drive)}
    branches = tuple(cable_branch(topology, part) for part in sorted(wanted) if part in topology.site.cables)
    loads: tuple[Load, ...] = tuple(
        ConstantCurrent(drive, drive, topology.site.drives[drive].running_current_a or 0.0) for drive in running
    )
    solution = solve(Circuit(Supply(output, volts), branches, loads))
    return {drive: solution.voltages_v[drive] for drive in running}


def cable_branch(topology: Topology, part: str) -> Branch:
    """Return a described cable, with the joint it starts from, as a branch between the parts it joins."""
    it = topology.site.cables[part]
    junction = topology.site.junctions.get(it.from_ or "")
    return cable(
        part,
        it.from_ or "",
        it.to or "",
        it.length_m or 0.0,
        it.area_mm2 or 0.0,
        it.conductor_class or TAKEN_CLASS,
        TAKEN_TEMPERATURE_C if it.temperature_c is None else it.temperature_c,
        (junction.joint_resistance_ohm if junction else None) or 0.0,
    )
