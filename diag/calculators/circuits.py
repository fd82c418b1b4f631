"""Describe a supply that feeds loads over two-core cables, and what every part of it then sees."""

from __future__ import annotations

import math
from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass

from diag.calculators.arguments import require_not_negative, require_positive
from diag.calculators.conductors import core_resistance_ohm


@dataclass(frozen=True, slots=True)
class Supply:
    """A source of direct voltage at one node, with its own series resistance."""

    node: str
    voltage_v: float
    source_resistance_ohm: float = 0.0


@dataclass(frozen=True, slots=True)
class Branch:
    """A two-core cable or joint between two nodes; an infinite resistance is an open core.

    `swapped` says that the two cores change places along this branch.
    """

    name: str
    start: str
    end: str
    out_ohm: float
    return_ohm: float
    swapped: bool = False


@dataclass(frozen=True, slots=True)
class ConstantCurrent:
    """A load that draws one current at any voltage, and nothing below its least voltage."""

    name: str
    node: str
    current_a: float
    least_voltage_v: float = 0.0


@dataclass(frozen=True, slots=True)
class ConstantPower:
    """A load that draws more current as its voltage falls, and nothing below its least voltage."""

    name: str
    node: str
    power_w: float
    least_voltage_v: float = 0.0


@dataclass(frozen=True, slots=True)
class Resistance:
    """A plain resistance across the two cores: a heater, a leak, a short."""

    name: str
    node: str
    resistance_ohm: float


Load = ConstantCurrent | ConstantPower | Resistance


@dataclass(frozen=True, slots=True)
class Circuit:
    """One supply, the cables it feeds in any shape, and the loads on them; nodes are known by name."""

    supply: Supply
    branches: tuple[Branch, ...]
    loads: tuple[Load, ...]


@dataclass(frozen=True, slots=True)
class Solution:
    """What every part of a circuit sees, each mapping by name.

    Voltages are across the two cores: below zero where the cores are exchanged, zero where nothing arrives.
    Branch currents count from start to end in the out core and from end to start in the return core; the two
    differ only inside rings. Load currents are amounts, whichever way round the load sees them.
    `supply_power_w` is what leaves the terminals of the supply. `dropped_out` names the loads that gave up
    because their voltage fell below their least, `unreached` the nodes without an unbroken pair of cores back
    to the supply.
    """

    voltages_v: Mapping[str, float]
    out_currents_a: Mapping[str, float]
    return_currents_a: Mapping[str, float]
    load_currents_a: Mapping[str, float]
    cable_losses_w: Mapping[str, float]
    supply_current_a: float
    supply_power_w: float
    dropped_out: tuple[str, ...]
    unreached: frozenset[str]


def cable(
    name: str,
    start: str,
    end: str,
    length_m: float,
    area_mm2: float,
    conductor_class: int = 2,
    temperature_c: float = 20.0,
    joint_ohm: float = 0.0,
) -> Branch:
    """Return a branch with the most resistance a sound cable may have; `joint_ohm` is added to each core."""
    core = core_resistance_ohm(length_m, area_mm2, conductor_class, temperature_c)
    each = core + require_not_negative("joint_ohm", joint_ohm)
    return Branch(name, start, end, each, each)


def check_circuit(circuit: Circuit) -> None:
    """Raise ValueError, naming the part and what is allowed, for a circuit that cannot be."""
    require_positive("supply.voltage_v", circuit.supply.voltage_v)
    require_not_negative("supply.source_resistance_ohm", circuit.supply.source_resistance_ohm)
    check_distinct("branch", [branch.name for branch in circuit.branches])
    check_distinct("load", [load.name for load in circuit.loads])
    nodes = node_names(circuit)
    for branch in circuit.branches:
        # the quick look spares a large site the slow one
        if branch.start == branch.end or not (branch.out_ohm >= 0 and branch.return_ohm >= 0):
            check_branch(branch)
    for load in circuit.loads:
        check_load(load, nodes)


def node_names(circuit: Circuit) -> dict[str, None]:
    """Return the names of all nodes, the supply's first, in the order of the branches."""
    names = {circuit.supply.node: None}
    names |= dict.fromkeys([branch.start for branch in circuit.branches])
    names |= dict.fromkeys([branch.end for branch in circuit.branches])
    return names


def check_distinct(kind: str, names: Sequence[str]) -> None:
    """Raise ValueError when two parts of one kind share a name."""
    if len(set(names)) == len(names):
        return
    twice = next(name for place, name in enumerate(names) if name in names[:place])
    raise ValueError(f"two parts share the {kind} name {twice}; each needs its own")


def check_branch(branch: Branch) -> None:
    """Raise ValueError for a branch from a node to itself or with a resistance below zero."""
    if branch.start == branch.end:
        raise ValueError(f"branch {branch.name} starts and ends at {branch.start}; expected two nodes")
    for core, value in (("out_ohm", branch.out_ohm), ("return_ohm", branch.return_ohm)):
        if math.isnan(value) or value < 0:
            raise ValueError(f"{core} of branch {branch.name} is {value:g}; expected 0 or above")


def check_load(load: Load, nodes: Container[str]) -> None:
    """Raise ValueError for a load at an unknown node or with an amount that cannot be."""
    if load.node not in nodes:
        raise ValueError(f"load {load.name} sits at node {load.node}, which no branch touches")
    if isinstance(load, Resistance):
        require_positive(f"resistance_ohm of {load.name}", load.resistance_ohm)
        return
    field, amount = ("current_a", load.current_a) if isinstance(load, ConstantCurrent) else ("power_w", load.power_w)
    if not (0 <= amount < math.inf and 0 <= load.least_voltage_v < math.inf):
        require_not_negative(f"{field} of {load.name}", amount)
        require_not_negative(f"least_voltage_v of {load.name}", load.least_voltage_v)
