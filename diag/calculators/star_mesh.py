"""Solve any network of resistances by star-mesh transformation, for cables that form rings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from heapq import heapify, heappop, heappush
from itertools import combinations
from math import inf, isnan, nan

from diag.calculators.networks import Collapse, Flow, Layout

LEAST_CORE_OHM = 1e-6
"""A core without resistance counts as this inside a ring, where its current would otherwise be undecided."""


def solve_rings(
    layout: Layout, voltage_v: float, source_ohm: float, drawn_a: Sequence[float], shunt_s: Sequence[float]
) -> Flow:
    """Return the flow for a current in A and a conductance in S at each node, each core on its own.

    Node i has potential 2i on the plus and 2i + 1 on the minus side; last comes the source behind its
    resistance. Same arguments and answer as `solve_tree`.
    """
    source = 2 * len(layout.names)
    source_ohm = max(source_ohm, LEAST_CORE_OHM)
    edges = layout.tree + layout.links
    joined: list[dict[int, float]] = [{} for _ in range(source + 1)]
    join(joined, source, 0, source_ohm)
    for edge in edges:
        join(joined, 2 * edge.near, 2 * edge.far, edge.plus_ohm)
        join(joined, 2 * edge.near + 1, 2 * edge.far + 1, edge.minus_ohm)
    injected = [0.0] * (source + 1)
    for node, (current, conductance) in enumerate(zip(drawn_a, shunt_s, strict=True)):
        injected[2 * node] = -current
        injected[2 * node + 1] = current
        if conductance:
            add_conductance(joined, 2 * node, 2 * node + 1, conductance)
    potential = solve_network(joined, injected, {source: voltage_v, 1: 0.0})
    volts = [
        potential[2 * node] - potential[2 * node + 1] if is_live else 0.0 for node, is_live in enumerate(layout.is_live)
    ]
    plus = [current_a(potential[2 * edge.near], potential[2 * edge.far], edge.plus_ohm) for edge in edges]
    minus = [current_a(potential[2 * edge.far + 1], potential[2 * edge.near + 1], edge.minus_ohm) for edge in edges]
    return Flow(volts, plus, minus, current_a(voltage_v, potential[0], source_ohm))


def join(joined: list[dict[int, float]], one: int, other: int, resistance_ohm: float) -> None:
    """Add a resistance between two nodes, in parallel with what is there; an infinite one adds nothing."""
    if resistance_ohm == inf:
        return
    add_conductance(joined, one, other, 1.0 / max(resistance_ohm, LEAST_CORE_OHM))


def add_conductance(joined: list[dict[int, float]], one: int, other: int, conductance_s: float) -> None:
    """Add a conductance between two nodes, in both their lists."""
    joined[one][other] = joined[other][one] = joined[one].get(other, 0.0) + conductance_s


def current_a(from_v: float, to_v: float, resistance_ohm: float) -> float:
    """Return the current between two potentials, zero where one of them is floating."""
    if isnan(from_v) or isnan(to_v):
        return 0.0
    return (from_v - to_v) / max(resistance_ohm, LEAST_CORE_OHM)


def solve_network(joined: list[dict[int, float]], injected_a: list[float], fixed_v: Mapping[int, float]) -> list[float]:
    """Return the potential of every node in volts, not-a-number where nothing ties it to a fixed one.

    Nodes with the fewest neighbours go first, so that a tree costs no more than its size and each ring little
    more. Conductances are only ever added, so nothing is lost to cancelling unless a load's is below zero.
    Both lists are used up. Raises Collapse where nothing is steady.
    """
    potential = [fixed_v.get(node, nan) for node in range(len(joined))]
    removed = [(node, *remove(node, joined, injected_a)) for node in fewest_neighbours_first(joined, fixed_v)]
    for node, neighbours, current in reversed(removed):
        if neighbours:
            pulled = sum(conductance * potential[other] for other, conductance in neighbours.items())
            potential[node] = (current + pulled) / sum(neighbours.values())
    return potential


def fewest_neighbours_first(joined: list[dict[int, float]], fixed_v: Mapping[int, float]) -> Iterator[int]:
    """Yield every free node once; the caller removes each before it asks for the next."""
    waiting = [(len(neighbours), node) for node, neighbours in enumerate(joined) if node not in fixed_v]
    heapify(waiting)
    while waiting:
        degree, node = heappop(waiting)
        if degree == len(joined[node]):
            yield node
        else:
            heappush(waiting, (len(joined[node]), node))


def remove(node: int, joined: list[dict[int, float]], injected_a: list[float]) -> tuple[dict[int, float], float]:
    """Replace a node's star by a mesh between its neighbours; return the star and the node's own current."""
    star, current = joined[node], injected_a[node]
    total = sum(star.values())
    if star and total <= 0.0:
        raise Collapse
    for other, conductance in star.items():
        del joined[other][node]
        injected_a[other] += current * conductance / total
    for (one, one_s), (other, other_s) in combinations(star.items(), 2):
        add_conductance(joined, one, other, one_s * other_s / total)
    return star, current
