"""Solve the cable tree of an output with its faults, for the drives that run at the moment."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from diag.calculators.circuits import Branch, Circuit, ConstantCurrent, Load, Resistance, Supply
from diag.calculators.conductors import core_resistance_ohm
from diag.calculators.flows import solve
from diag.calculators.networks import ShortCircuit
from diag.topology import Topology
from diag.virtual.fitted import Fitted

JOINT_OHM = 0.01
SOURCE_OHM = 0.02
FALLBACK_LENGTH_M, FALLBACK_AREA_MM2 = 10.0, 1.5


@dataclass(frozen=True, slots=True)
class OutputState:
    """Voltages at the output and beyond it, and the current it gives; `tripped` says that it protected itself."""

    voltages_v: Mapping[str, float]
    current_a: float
    tripped: bool


class Wiring:
    """The cable trees of a site with the faults in them; solves each state once until the wiring changes.

    Call `forget` after a change to a cable, a junction or an output.
    """

    def __init__(self, topology: Topology, fitted: Fitted) -> None:
        self.topology = topology
        self.fitted = fitted
        self.branches = cache(self._branches)
        self._solved: dict[tuple[object, ...], OutputState] = {}

    def forget(self) -> None:
        """Look at the wiring anew."""
        self.branches.cache_clear()
        self._solved.clear()

    def at_output(self, output: str, volts: float, drawn_a: Mapping[str, float], surge: float = 1.0) -> OutputState:
        """Return the state of an output that gives these volts to consumers that would draw these currents.

        `surge` says how much more than its limit the output lets pass for the moment of a start.
        """
        key = (output, volts, tuple(drawn_a.items()), surge)
        if key not in self._solved:
            self._solved[key] = self._solve(output, volts, drawn_a, surge)
        return self._solved[key]

    def _solve(self, output: str, volts: float, drawn_a: Mapping[str, float], surge: float) -> OutputState:
        branches, leaks = self.branches(output)
        nodes = {output, *(it.start for it in branches), *(it.end for it in branches)}
        dead = dict.fromkeys([*nodes, *drawn_a], 0.0)
        if volts <= 0:
            return OutputState(dead, 0.0, False)
        loads = [ConstantCurrent(part, part if part in nodes else output, amps) for part, amps in drawn_a.items()]
        try:
            solution = solve(Circuit(Supply(output, volts, SOURCE_OHM), branches, (*loads, *leaks)))
        except ShortCircuit:
            return OutputState(dead, 0.0, True)
        current = solution.supply_current_a + self.fitted.outputs[output].extra_load_a * bool(drawn_a)
        if current > surge * trip_current_a(self.topology, self.fitted, output):
            return OutputState(dead, current, True)
        return OutputState(solution.voltages_v, current, False)

    def _branches(self, output: str) -> tuple[tuple[Branch, ...], tuple[Load, ...]]:
        """Return the cables below an output, and what else than its consumers draws current there."""
        cables = cables_below(self.topology, output)
        branches = tuple(branch_of(self.topology, self.fitted, it) for it in cables)
        nodes = {output, *(it.start for it in branches), *(it.end for it in branches)}
        leaks = [leak for it in sorted(nodes) for leak in leaks_at(self.topology, self.fitted, it)]
        return branches, tuple(leaks)


def cables_below(topology: Topology, output: str) -> list[str]:
    """Return the cables that an output feeds."""
    paths = [topology.supply_path(it) for it in topology.consumers_of_output(output)]
    return sorted({it for path in paths for it in path if it in topology.site.cables})


def trip_current_a(topology: Topology, fitted: Fitted, output: str) -> float:
    """Return the current at which the output protects itself."""
    described = topology.site.outputs[output]
    rated = described.trip_current_a or described.rated_current_a or described.fuse_a or 10.0
    return rated * fitted.outputs[output].trip_share


def branch_of(topology: Topology, fitted: Fitted, cable: str) -> Branch:
    """Return a cable with its joints as a branch."""
    it, condition = topology.site.cables[cable], fitted.cables[cable]
    core = core_ohm(topology, fitted, cable)
    box = fitted.junctions.get(it.from_ or "")
    core += JOINT_OHM + (box.added_ohm if box else 0.0)
    out = math.inf if condition.out_open else core + condition.added_ohm
    return Branch(cable, it.from_ or "?", it.to or "?", out, core, condition.swapped)


def core_ohm(topology: Topology, fitted: Fitted, cable: str) -> float:
    """Return the resistance of one sound core of the cable that is really there."""
    it = topology.site.cables[cable]
    area = it.area_mm2 or FALLBACK_AREA_MM2
    temperature = 20.0 if it.temperature_c is None else it.temperature_c
    drawn = core_resistance_ohm(it.length_m or FALLBACK_LENGTH_M, area, it.conductor_class or 2, temperature)
    return 0.97 * drawn / fitted.cables[cable].area_share


def leaks_at(topology: Topology, fitted: Fitted, node: str) -> list[Load]:
    """Return what else draws current at a node: water in a box, cores that touch."""
    leaks: list[Load] = []
    box = fitted.junctions.get(node)
    if box and box.leak_ohm:
        leaks.append(Resistance(f"water in {node}", node, box.leak_ohm))
    for cable, condition in fitted.cables.items():
        if condition.short_ohm and topology.site.cables[cable].to == node:
            leaks.append(Resistance(f"short in {cable}", node, condition.short_ohm))
    return leaks


def data_reaches(topology: Topology, fitted: Fitted, drive: str) -> bool:
    """Return whether the data core is whole and on its own terminals up to the drive."""
    cables = [it for it in topology.supply_path(drive) if it in fitted.cables]
    return all(not fitted.cables[it].data_open and not fitted.cables[it].data_swapped for it in cables)


def data_upset(topology: Topology, fitted: Fitted, output: str) -> bool:
    """Return whether a wrongly connected data core holds the line of the whole output."""
    paths = [topology.supply_path(it) for it in topology.consumers_of_output(output)]
    return any(fitted.cables[it].data_swapped for path in paths for it in path if it in fitted.cables)


def supply_reaches(topology: Topology, fitted: Fitted, drive: str) -> bool:
    """Return whether both power cores are whole up to the drive."""
    cables = [it for it in topology.supply_path(drive) if it in fitted.cables]
    return not any(fitted.cables[it].out_open for it in cables)
