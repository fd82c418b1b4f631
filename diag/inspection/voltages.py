"""Work out the volts at every drive of a site with all drives of each output on at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache

from diag.calculators.conductors import core_resistance_ohm, known_areas_mm2
from diag.site import Cable
from diag.site_circuits import TAKEN_CLASS, TAKEN_TEMPERATURE_C, supply_voltage_v
from diag.topology import Topology

Paths = Mapping[str, Sequence[str]]
"""The cables from each drive up to its output."""


def voltages_together(topology: Topology, current: str) -> Mapping[str, float]:
    """Return volts by drive, for outputs of which every drive's current and cable are described.

    `current` names the field to draw: running_current_a or starting_current_a. Cables without a conductor class or
    temperature are taken as class 2 at 20 degrees. A drive that its cable cannot feed at all gets 0.
    """
    found: dict[str, float] = {}
    for output in topology.of_kind("output"):
        volts = supply_voltage_v(topology, output)
        drives = [it for it in topology.consumers_of_output(output) if it in topology.site.drives]
        if volts and all(getattr(topology.site.drives[drive], current) is not None for drive in drives):
            paths = {drive: _path(topology, drive) for drive in drives}
            if all(_is_described(topology, output, path) for path in paths.values()):
                found |= _along(topology, volts, paths, current)
    return found


def _path(topology: Topology, drive: str) -> list[str]:
    return [part for part in topology.supply_path(drive) if part in topology.site.cables]


def _is_described(topology: Topology, output: str, path: Sequence[str]) -> bool:
    cables = [topology.site.cables[part] for part in path]
    return bool(cables) and cables[-1].from_ == output and all(map(is_calculable, cables))


def is_calculable(described: Cable) -> bool:
    """Return whether length and area are given and the area is one there is a resistance for."""
    if described.length_m is None or described.area_mm2 is None:
        return False
    return is_known_area(described.area_mm2, described.conductor_class)


@cache
def is_known_area(area_mm2: float, conductor_class: int | None) -> bool:
    """Return whether there is a resistance for cores of this area; a class not given is taken."""
    return area_mm2 in known_areas_mm2(conductor_class or TAKEN_CLASS)


def _along(topology: Topology, volts: float, paths: Paths, current: str) -> dict[str, float]:
    """Return what is left at each drive. Cables are trees, so each carries the sum of what hangs on it."""
    carried: dict[str, float] = {}
    for drive, path in paths.items():
        drawn = getattr(topology.site.drives[drive], current)
        for part in path:
            carried[part] = carried.get(part, 0.0) + drawn
    lost = {part: amperes * _loop_ohm(topology, part) for part, amperes in carried.items()}
    return {drive: max(0.0, volts - sum(lost[part] for part in path)) for drive, path in paths.items()}


def _loop_ohm(topology: Topology, part: str) -> float:
    it = topology.site.cables[part]
    junction = topology.site.junctions.get(it.from_ or "")
    joint = (junction.joint_resistance_ohm if junction else None) or 0.0
    warmth = TAKEN_TEMPERATURE_C if it.temperature_c is None else it.temperature_c
    core = _ohm_per_m(it.area_mm2 or 0.0, it.conductor_class or TAKEN_CLASS, warmth) * (it.length_m or 0.0)
    return 2.0 * (core + joint)


@cache
def _ohm_per_m(area_mm2: float, conductor_class: int, temperature_c: float) -> float:
    return core_resistance_ohm(1.0, area_mm2, conductor_class, temperature_c)
