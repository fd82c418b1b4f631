"""Work out the volts at every drive of a site with all drives of each output on at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import chain
from typing import cast

from diag.calculators.conductors import core_resistance_ohm, known_areas_mm2
from diag.site import Cable, Drive
from diag.site_circuits import TAKEN_CLASS, TAKEN_TEMPERATURE_C, supply_voltage_v
from diag.topology import Topology

Paths = Mapping[str, Sequence[str]]
"""The cables from drives and fans up towards their outputs."""


@dataclass(frozen=True, slots=True)
class Tree:
    """The wiring of one output: the volts at its terminals, and the cables from each drive up to it."""

    volts: float
    paths: Paths


@dataclass(frozen=True, slots=True)
class Wiring:
    """The outputs whose every drive hangs on described cables, and the ohms there and back of each such cable."""

    trees: Sequence[Tree]
    loop_ohm: Mapping[str, float]


def cable_paths(topology: Topology) -> Paths:
    """Return the cables up from each drive and fan that a cable reaches."""
    cables = topology.site.cables
    found = ((part, topology.supply_path(part)) for part in chain(topology.site.drives, topology.site.fans))
    return {part: [step for step in path if step in cables] for part, path in found if path}


def lay_out_wiring(topology: Topology, paths: Paths) -> Wiring:
    """Return the wiring of a site as far as it is described.

    Cables without a conductor class or temperature are taken as class 2 at 20 degrees.
    """
    cables = ((part, _loop_ohm(topology, it)) for part, it in topology.site.cables.items())
    loop_ohm = {part: ohm for part, ohm in cables if ohm is not None}
    trees = (_lay_out_tree(topology, paths, loop_ohm, output) for output in topology.site.outputs)
    return Wiring(tuple(tree for tree in trees if tree), loop_ohm)


def _lay_out_tree(topology: Topology, paths: Paths, loop_ohm: Mapping[str, float], output: str) -> Tree | None:
    """Return the tree of an output, or None when its volts or a cable on the way to a drive is not described."""
    volts, cables, drives = supply_voltage_v(topology, output), topology.site.cables, topology.site.drives
    if not volts:
        return None
    fed = {part: paths.get(part) for part in topology.consumers_of_output(output) if part in drives}
    for path in fed.values():
        if not path or cables[path[-1]].from_ != output or not all(part in loop_ohm for part in path):
            return None
    return Tree(volts, cast("Paths", fed))


def voltages_together(drives: Mapping[str, Drive], wiring: Wiring, current: str) -> Mapping[str, float]:
    """Return volts by drive with all drives of each output on, for outputs of which every drive's current is given.

    `current` names the field to draw: running_current_a or starting_current_a. A drive that its cable cannot feed at
    all gets 0.
    """
    found: dict[str, float] = {}
    for tree in wiring.trees:
        drawn = {drive: getattr(drives[drive], current) for drive in tree.paths}
        if None not in drawn.values():
            found |= _along(tree, wiring.loop_ohm, drawn)
    return found


@cache
def is_known_area(area_mm2: float, conductor_class: int | None) -> bool:
    """Return whether there is a resistance for cores of this area; a class not given is taken."""
    return area_mm2 in known_areas_mm2(conductor_class or TAKEN_CLASS)


def _along(tree: Tree, loop_ohm: Mapping[str, float], drawn_a: Mapping[str, float]) -> dict[str, float]:
    """Return what is left at each drive. Cables are trees, so each carries the sum of what hangs on it."""
    carried: dict[str, float] = {}
    for drive, path in tree.paths.items():
        for part in path:
            carried[part] = carried.get(part, 0.0) + drawn_a[drive]
    lost = {part: amperes * loop_ohm[part] for part, amperes in carried.items()}
    return {drive: max(0.0, tree.volts - sum(map(lost.__getitem__, path))) for drive, path in tree.paths.items()}


def _loop_ohm(topology: Topology, it: Cable) -> float | None:
    """Return the ohms there and back, with the joints it starts from; None when length or a known area is not given."""
    warmth = TAKEN_TEMPERATURE_C if it.temperature_c is None else it.temperature_c
    core = _ohm_per_m(it.area_mm2, it.conductor_class or TAKEN_CLASS, warmth)
    if core is None or it.length_m is None:
        return None
    junction = topology.site.junctions.get(it.from_ or "")
    joint = (junction.joint_resistance_ohm if junction else None) or 0.0
    return 2.0 * (core * it.length_m + joint)


@cache
def _ohm_per_m(area_mm2: float | None, conductor_class: int, temperature_c: float) -> float | None:
    if area_mm2 is None or not is_known_area(area_mm2, conductor_class):
        return None
    return core_resistance_ohm(1.0, area_mm2, conductor_class, temperature_c)
