"""Solve a tree of two-core cables in two sweeps: gather the loads, then hand out the volts."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from diag.calculators.networks import Collapse, Flow, Layout


def solve_tree(
    layout: Layout, voltage_v: float, source_ohm: float, drawn_a: Sequence[float], shunt_s: Sequence[float]
) -> Flow:
    """Return the flow for a current in A and a conductance in S at each node; past an open core it is 0 V.

    What hangs on a node is a current source beside a conductance, so each cable folds into its parent exactly
    (Norton's theorem) and no equations are left over. Cost in proportion to the nodes. A conductance may be
    below zero, as a constant power has; Collapse is raised where that leaves nothing steady.
    """
    nears = [edge.near for edge in layout.tree]
    loops = [edge.plus_ohm + edge.minus_ohm for edge in layout.tree]
    current, conductance = gather(nears, loops, drawn_a, shunt_s)
    total = (current[0] + conductance[0] * voltage_v) / share_of_drop(source_ohm, conductance[0])
    voltages, carried = [voltage_v - source_ohm * total], []
    for far, (near, loop) in enumerate(zip(nears, loops, strict=True), 1):
        arriving = voltages[near]
        if loop == inf or not layout.is_live[far]:
            voltages.append(0.0)
            carried.append(0.0)
            continue
        through = (current[far] + conductance[far] * arriving) / (1.0 + loop * conductance[far])
        carried.append(through)
        voltages.append(arriving - loop * through)
    return Flow(voltages, carried, carried, total)


def gather(
    nears: Sequence[int], loops: Sequence[float], drawn_a: Sequence[float], shunt_s: Sequence[float]
) -> tuple[list[float], list[float]]:
    """Return the current and conductance that each node and all beyond it amount to; an open cable adds nothing."""
    current, conductance = list(drawn_a), list(shunt_s)
    for far in range(len(nears), 0, -1):
        loop, near = loops[far - 1], nears[far - 1]
        if loop == inf:
            continue
        share = share_of_drop(loop, conductance[far]) if conductance[far] else 1.0
        current[near] += current[far] / share
        conductance[near] += conductance[far] / share
    return current, conductance


def share_of_drop(resistance_ohm: float, conductance_s: float) -> float:
    """Return what a conductance behind a resistance is divided by when the two fold into one."""
    share = 1.0 + resistance_ohm * conductance_s
    if share <= 0.0:
        raise Collapse
    return share
