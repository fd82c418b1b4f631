"""Put one fault into a circuit, and say which faults would show the reading that was taken."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from math import inf
from typing import Literal

from diag.calculators.arguments import require_not_negative, require_positive
from diag.calculators.circuits import Branch, Circuit, Load, Resistance
from diag.calculators.flows import solve
from diag.calculators.networks import lay_out

Core = Literal["out", "return", "both"]


def open_core(circuit: Circuit, branch: str, core: Core = "out") -> Circuit:
    """Return the circuit with one core, or both, of a branch broken."""
    return change_cores(circuit, branch, core, lambda _: inf)


def loosen_joint(circuit: Circuit, branch: str, added_ohm: float, core: Core = "out") -> Circuit:
    """Return the circuit with a bad joint that adds resistance to one core, or to each, of a branch."""
    require_not_negative("added_ohm", added_ohm)
    return change_cores(circuit, branch, core, lambda resistance: resistance + added_ohm)


def swap_cores(circuit: Circuit, branch: str) -> Circuit:
    """Return the circuit with the two cores of a branch exchanged at one of its ends."""
    return change_branch(circuit, branch, lambda one: replace(one, swapped=not one.swapped))


def short_cores(circuit: Circuit, node: str, contact_ohm: float = 0.01) -> Circuit:
    """Return the circuit with the two cores touching at a node; the contact's resistance is a guess."""
    return add_load(circuit, Resistance(f"short at {node}", node, require_positive("contact_ohm", contact_ohm)))


def wet_box(circuit: Circuit, node: str, leak_ohm: float) -> Circuit:
    """Return the circuit with water across the two cores at a node."""
    return add_load(circuit, Resistance(f"leak at {node}", node, require_positive("leak_ohm", leak_ohm)))


def remove_load(circuit: Circuit, load: str) -> Circuit:
    """Return the circuit with one load drawing nothing, as a drive with a dead board or worn brushes does."""
    kept = tuple(one for one in circuit.loads if one.name != load)
    if len(kept) == len(circuit.loads):
        raise ValueError(f"load is {load}; expected the name of a load of this circuit")
    return replace(circuit, loads=kept)


def change_cores(circuit: Circuit, branch: str, core: Core, change: Callable[[float], float]) -> Circuit:
    """Return the circuit with the resistance of the named cores of a branch changed."""
    if core not in ("out", "return", "both"):
        raise ValueError(f"core is {core}; expected out, return or both")

    def changed(one: Branch) -> Branch:
        out = one.out_ohm if core == "return" else change(one.out_ohm)
        back = one.return_ohm if core == "out" else change(one.return_ohm)
        return replace(one, out_ohm=out, return_ohm=back)

    return change_branch(circuit, branch, changed)


def change_branch(circuit: Circuit, branch: str, change: Callable[[Branch], Branch]) -> Circuit:
    """Return the circuit with one branch changed; raise ValueError when it has no such branch."""
    if all(one.name != branch for one in circuit.branches):
        raise ValueError(f"branch is {branch}; expected the name of a branch of this circuit")
    branches = tuple(change(one) if one.name == branch else one for one in circuit.branches)
    return replace(circuit, branches=branches)


def add_load(circuit: Circuit, load: Load) -> Circuit:
    """Return the circuit with one more load."""
    return replace(circuit, loads=(*circuit.loads, load))


def branches_before(circuit: Circuit, node: str) -> tuple[str, ...]:
    """Return the branches that a node hangs on, supply first: any one of them open leaves it dead.

    A branch inside a ring is not among them, for the other way round still feeds the node.
    """
    layout = lay_out(circuit.supply.node, circuit.branches)
    if node not in layout.names:
        raise ValueError(f"node is {node}; expected one that the supply reaches")
    number = layout.names.index(node)
    path = []
    while number:
        edge = layout.tree[number - 1]
        path.append(circuit.branches[edge.branch].name)
        number = edge.near
    path.reverse()
    return tuple(path) if not layout.links else tuple(one for one in path if is_needed(circuit, one, node))


def is_needed(circuit: Circuit, branch: str, node: str) -> bool:
    """Tell whether a node is dead without this branch."""
    broken = open_core(circuit, branch, "both")
    return node not in lay_out(circuit.supply.node, broken.branches).names


def voltages_by_case(cases: Mapping[str, Circuit], node: str) -> dict[str, float]:
    """Return the volts at one node for each case by its name; the sound circuit may be one of them."""
    return {name: solve(circuit).voltages_v[node] for name, circuit in cases.items()}


def matching_cases(measured_v: float, expected_v: Mapping[str, float], tolerance_v: float) -> tuple[str, ...]:
    """Return the cases whose expected volts lie within the tolerance of a reading, nearest first."""
    require_not_negative("tolerance_v", tolerance_v)
    apart = {name: abs(volts - measured_v) for name, volts in expected_v.items()}
    return tuple(sorted((name for name, gap in apart.items() if gap <= tolerance_v), key=apart.__getitem__))
