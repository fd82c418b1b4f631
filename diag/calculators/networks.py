"""Lay a circuit's branches out from its supply: parents before children, rails, and what closes a ring."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from math import inf
from operator import and_
from typing import NamedTuple

from diag.calculators.circuits import Branch


class ShortCircuit(ValueError):
    """A ring is closed with its cores exchanged, so that it joins one side of the supply to the other."""


class Collapse(ArithmeticError):
    """Nothing steady: the loads ask for more power than the cables can carry."""


class Edge(NamedTuple):
    """One branch between numbered nodes, its cores named by the side of the supply they belong to.

    `starts_near` tells whether the near node is the branch's start, `is_flipped` whether its out core is on minus.
    A tuple for its speed: a large site has tens of thousands.
    """

    branch: int
    near: int
    far: int
    plus_ohm: float
    minus_ohm: float
    starts_near: bool
    is_flipped: bool


@dataclass(frozen=True, slots=True)
class Layout:
    """The nodes within reach, numbered so that a parent comes before its children; the supply is node 0.

    `tree[i]` is the edge that leads to node i + 1 and `links` are the edges that close rings. `turned[i]`
    tells whether the cores at node i are exchanged, and `is_live[i]` whether both cores reach it unbroken.
    """

    names: tuple[str, ...]
    turned: tuple[bool, ...]
    is_live: tuple[bool, ...]
    tree: tuple[Edge, ...]
    links: tuple[Edge, ...]


@dataclass(frozen=True, slots=True)
class Flow:
    """Volts across each numbered node; amperes out (plus) and back (minus) along each edge, tree first."""

    voltages_v: Sequence[float]
    plus_a: Sequence[float]
    minus_a: Sequence[float]
    total_a: float


def lay_out(root: str, branches: Sequence[Branch]) -> Layout:
    """Return the layout of everything that at least one core joins to the root, breadth first.

    Raises ShortCircuit for a ring closed with its cores exchanged.
    """
    touching = group_by_node(branches)
    names, number = [root], {root: 0}
    turned = [False]
    tree: list[Edge] = []
    links: list[Edge] = []
    used = bytearray(len(branches))
    for near, name in enumerate(names):  # the list grows while it is walked
        for place in touching.get(name, ()):
            if used[place]:
                continue
            used[place] = True
            branch = branches[place]
            starts_near = branch.start == name
            other = branch.end if starts_near else branch.start
            is_turned = turned[near] != branch.swapped
            is_flipped = turned[near] if starts_near else is_turned
            out, back = branch.out_ohm, branch.return_ohm
            plus, minus = (back, out) if is_flipped else (out, back)
            far = number.setdefault(other, len(names))
            (tree if far == len(names) else links).append(Edge(place, near, far, plus, minus, starts_near, is_flipped))
            if far == len(names):
                names.append(other)
                turned.append(is_turned)
            elif turned[far] != is_turned:
                raise ShortCircuit(f"branch {branch.name} closes a ring with its cores exchanged: a short")
    is_live = find_live_in_ring(len(names), tree + links) if links else find_live_in_tree(tree)
    return Layout(tuple(names), tuple(turned), tuple(is_live), tuple(tree), tuple(links))


def group_by_node(branches: Sequence[Branch]) -> dict[str, list[int]]:
    """Return the places of the branches at each node, leaving out those with both cores open."""
    touching: defaultdict[str, list[int]] = defaultdict(list)
    for place, branch in enumerate(branches):
        if min(branch.out_ohm, branch.return_ohm) < inf:
            touching[branch.start].append(place)
            touching[branch.end].append(place)
    return dict(touching)


def find_live_in_tree(tree: Sequence[Edge]) -> list[bool]:
    """Return whether both cores reach each node, parents first."""
    is_live = [True]
    for edge in tree:
        is_live.append(is_live[edge.near] and edge.plus_ohm < inf and edge.minus_ohm < inf)
    return is_live


def find_live_in_ring(count: int, edges: Sequence[Edge]) -> list[bool]:
    """Return whether both cores reach each node, by whatever way round."""
    plus = find_joined(count, [(edge.near, edge.far) for edge in edges if edge.plus_ohm < inf])
    minus = find_joined(count, [(edge.near, edge.far) for edge in edges if edge.minus_ohm < inf])
    return list(map(and_, plus, minus))


def find_joined(count: int, pairs: Sequence[tuple[int, int]]) -> list[bool]:
    """Return, for each of so many numbered nodes, whether these pairs join it to node 0."""
    beside: list[list[int]] = [[] for _ in range(count)]
    for near, far in pairs:
        beside[near].append(far)
        beside[far].append(near)
    is_joined = [False] * count
    is_joined[0] = True
    waiting = [0]
    while waiting:
        for node in beside[waiting.pop()]:
            if not is_joined[node]:
                is_joined[node] = True
                waiting.append(node)
    return is_joined
