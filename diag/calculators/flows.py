"""Find the flow through a circuit whose loads change what they draw with their voltage."""

from __future__ import annotations

from collections.abc import Sequence
from operator import sub

from diag.calculators.circuits import (
    Circuit,
    ConstantCurrent,
    ConstantPower,
    Load,
    Resistance,
    Solution,
    check_circuit,
    node_names,
)
from diag.calculators.networks import Collapse, Flow, Layout, lay_out
from diag.calculators.star_mesh import solve_rings
from diag.calculators.tree_sweep import solve_tree

MOST_ROUNDS = 60
SETTLED_SHARE = 1e-12


def solve(circuit: Circuit) -> Solution:
    """Return every voltage and current of a circuit of any shape.

    Exact for constant currents and resistances (Kirchhoff's laws); constant powers settle by Newton's method to
    1e-12 of the supply. Loads that fall below their least voltage, or ask for more power than the cables carry,
    drop out together and stay out: the first thing to happen on a real circuit; whether they try again is not
    said. The cost grows with the nodes. Raises ValueError for a description that cannot be, and ShortCircuit.
    """
    check_circuit(circuit)
    layout = lay_out(circuit.supply.node, circuit.branches)
    number = {name: place for place, name in enumerate(layout.names) if layout.is_live[place]}
    seats = [number.get(load.node) for load in circuit.loads]
    running = [seat is not None for seat in seats]
    dropped: set[int] = set()
    while True:
        flow, fallen = settle(circuit, layout, seats, running)
        if flow is not None:
            return describe(circuit, layout, flow, seats, running, dropped)
        dropped |= fallen
        running = [is_on and place not in fallen for place, is_on in enumerate(running)]


def settle(
    circuit: Circuit, layout: Layout, seats: Sequence[int | None], running: Sequence[bool]
) -> tuple[Flow | None, set[int]]:
    """Return the settled flow with these loads running, or None and the places of the loads that fall first.

    The search starts from the full supply voltage. What a constant power draws curves one way, so from there it
    only comes down towards the answer and never passes it: a load that falls on the way falls.
    """
    seated = [
        (place, load, seat)
        for place, (load, seat, is_on) in enumerate(zip(circuit.loads, seats, running, strict=True))
        if is_on and seat is not None
    ]
    powers = {place for place, load, _ in seated if isinstance(load, ConstantPower)}
    voltages: Sequence[float] = [circuit.supply.voltage_v] * len(layout.names)
    for _ in range(MOST_ROUNDS):
        try:
            flow = flow_near(circuit, layout, [(load, seat) for _, load, seat in seated], voltages)
        except Collapse:
            break
        fallen = {place for place, load, seat in seated if has_fallen(load, flow.voltages_v[seat])}
        if fallen:
            return None, fallen
        if not powers or is_settled(voltages, flow.voltages_v, circuit.supply.voltage_v):
            return flow, fallen
        voltages = flow.voltages_v
    return None, powers


def flow_near(
    circuit: Circuit, layout: Layout, seated: Sequence[tuple[Load, int]], voltages_v: Sequence[float]
) -> Flow:
    """Return the flow with each load replaced by a straight line that touches it at these voltages."""
    drawn, shunt = [0.0] * len(voltages_v), [0.0] * len(voltages_v)
    for load, seat in seated:
        if isinstance(load, ConstantCurrent):
            drawn[seat] += load.current_a
        elif isinstance(load, Resistance):
            shunt[seat] += 1.0 / load.resistance_ohm
        else:
            drawn[seat] += 2.0 * load.power_w / voltages_v[seat]
            shunt[seat] -= load.power_w / voltages_v[seat] ** 2
    solver = solve_rings if layout.links else solve_tree
    return solver(layout, circuit.supply.voltage_v, circuit.supply.source_resistance_ohm, drawn, shunt)


def load_current_a(load: Load, voltage_v: float) -> float:
    """Return what a running load draws at this voltage across it."""
    if isinstance(load, ConstantCurrent):
        return load.current_a
    if isinstance(load, ConstantPower):
        return load.power_w / voltage_v
    return voltage_v / load.resistance_ohm


def has_fallen(load: Load, voltage_v: float) -> bool:
    """Tell whether this voltage is too low for the load; a plain resistance never gives up."""
    return not isinstance(load, Resistance) and (voltage_v <= 0 or voltage_v < load.least_voltage_v)


def is_settled(before_v: Sequence[float], after_v: Sequence[float], supply_v: float) -> bool:
    """Tell whether no voltage changed by more than the least that counts."""
    return max(map(abs, map(sub, after_v, before_v)), default=0.0) <= SETTLED_SHARE * supply_v


def describe(
    circuit: Circuit,
    layout: Layout,
    flow: Flow,
    seats: Sequence[int | None],
    running: Sequence[bool],
    dropped: set[int],
) -> Solution:
    """Return the flow by the names of nodes, branches and loads, in the circuit's own order of cores."""
    voltages, unreached = name_voltages(circuit, layout, flow)
    out, back, losses = name_currents(circuit, layout, flow)
    loads = {
        load.name: load_current_a(load, flow.voltages_v[seat]) if is_on and seat is not None else 0.0
        for load, seat, is_on in zip(circuit.loads, seats, running, strict=True)
    }
    return Solution(
        voltages_v=voltages,
        out_currents_a=out,
        return_currents_a=back,
        load_currents_a=loads,
        cable_losses_w=losses,
        supply_current_a=flow.total_a,
        supply_power_w=flow.total_a * flow.voltages_v[0],
        dropped_out=tuple(circuit.loads[place].name for place in sorted(dropped)),
        unreached=unreached,
    )


def name_voltages(circuit: Circuit, layout: Layout, flow: Flow) -> tuple[dict[str, float], frozenset[str]]:
    """Return the volts at every node of the circuit, and the nodes without both cores."""
    live = zip(layout.names, layout.turned, layout.is_live, flow.voltages_v, strict=True)
    reached = {name: -volts if is_turned else volts for name, is_turned, is_live, volts in live if is_live}
    names = node_names(circuit)
    if len(reached) == len(names):
        return reached, frozenset()
    return dict.fromkeys(names, 0.0) | reached, frozenset(names.keys() - reached.keys())


def name_currents(
    circuit: Circuit, layout: Layout, flow: Flow
) -> tuple[dict[str, float], dict[str, float], dict[str, float]]:
    """Return the current of the out core and of the return core, and the watts lost, in every branch."""
    out = dict.fromkeys([branch.name for branch in circuit.branches], 0.0)
    back, losses = out.copy(), out.copy()
    for edge, plus, minus in zip(layout.tree + layout.links, flow.plus_a, flow.minus_a, strict=True):
        name = circuit.branches[edge.branch].name
        # no current, no loss: an open core's endless resistance must not enter
        losses[name] = (plus * plus * edge.plus_ohm if plus else 0.0) + (
            minus * minus * edge.minus_ohm if minus else 0.0
        )
        if not edge.starts_near:
            plus, minus = -plus, -minus
        out[name], back[name] = (-minus, -plus) if edge.is_flipped else (plus, minus)
    return out, back, losses
