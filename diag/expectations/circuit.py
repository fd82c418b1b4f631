"""Lay one output of a described site out as a circuit, and say what its nodes see, sound or with a fault."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from diag.calculators.circuit_faults import open_core, swap_cores
from diag.calculators.circuits import Branch, Circuit, ConstantCurrent, Solution, Supply
from diag.calculators.flows import solve
from diag.site_circuits import DriveSupply, cable_branch, supply_voltage_v
from diag.topology import Ids, Topology


@dataclass(frozen=True, slots=True)
class OutputCircuit:
    """The cables and drives of one output; nodes and branches carry the ids of the parts.

    `drives` are those whose supply is described well enough; `is_whole` says whether that is all of them.
    """

    output: str
    volts: float
    branches: tuple[Branch, ...]
    currents_a: Mapping[str, float]
    is_whole: bool

    @property
    def drives(self) -> Ids:
        """Return the drives that can be worked out."""
        return tuple(self.currents_a)

    def running(self, drives: Collection[str] | None = None) -> Circuit:
        """Return the circuit with these drives running, or all."""
        chosen = self.currents_a if drives is None else drives
        loads = tuple(ConstantCurrent(it, it, self.currents_a[it]) for it in self.currents_a if it in chosen)
        return Circuit(Supply(self.output, self.volts), self.branches, loads)

    def solved(self, drives: Collection[str] | None = None) -> Solution:
        """Return every voltage and current with these drives running, or all."""
        return solve(self.running(drives))

    def with_open(self, branch: str, drives: Collection[str] | None = None) -> Solution:
        """Return the same with one core of a cable broken."""
        return solve(open_core(self.running(drives), branch))

    def with_swapped(self, branch: str, drives: Collection[str] | None = None) -> Solution:
        """Return the same with the cores of a cable exchanged."""
        return solve(swap_cores(self.running(drives), branch))


def lay_out_output(topology: Topology, supplies: Mapping[str, DriveSupply], output: str) -> OutputCircuit | None:
    """Return the circuit of an output, or None where neither its voltage nor one of its drives is described.

    `supplies` is what each drive of the output should see, as `drive_supplies` gives it.
    """
    volts = supply_voltage_v(topology, output)
    known = [drive for drive, it in supplies.items() if not it.missing]
    if not volts or not known:
        return None
    wanted = {part for drive in known for part in topology.supply_path(drive) if part in topology.site.cables}
    return OutputCircuit(
        output=output,
        volts=volts,
        branches=tuple(cable_branch(topology, part) for part in sorted(wanted)),
        currents_a={drive: topology.site.drives[drive].running_current_a or 0.0 for drive in known},
        is_whole=len(known) == len(topology.consumers_of_output(output)),
    )


def loop_ohm(circuit: OutputCircuit, drive: str, topology: Topology) -> float:
    """Return the resistance there and back from the output to a drive's terminals."""
    path = set(topology.supply_path(drive))
    return sum(it.out_ohm + it.return_ohm for it in circuit.branches if it.name in path)
