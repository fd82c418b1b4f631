"""Place the cables, boxes and drives of one output in columns and rows for drawing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from diag.topology import Topology


@dataclass(frozen=True, slots=True)
class Place:
    """A part of the drawing: its column from the output on, its row, and what feeds it by which cable.

    `cable` is None where the description does not say how the part is reached.
    """

    part: str
    column: int
    row: float
    above: str | None
    cable: str | None


Children = dict[str, dict[str, str | None]]
"""For each part, the parts it feeds and the cable to each."""


def lay_out(topology: Topology, output: str) -> tuple[Place, ...]:
    """Return the output and all it feeds, each part before those beyond it; a part stands midway beside its own."""
    children = _children(topology, output)
    order = list(_depth_first(children, output))
    rows: dict[str, float] = {}
    leaves = 0
    for part, *_ in order:
        if part not in children:
            rows[part] = float(leaves)
            leaves += 1
    for part, *_ in reversed(order):
        if part in children:
            beyond = [rows[it] for it in children[part]]
            rows[part] = (min(beyond) + max(beyond)) / 2
    return tuple(Place(part, column, rows[part], above, cable) for part, column, above, cable in order)


def _children(topology: Topology, output: str) -> Children:
    children: Children = {}
    described = [*topology.site.drives, *topology.site.fans]
    for consumer in sorted(topology.consumers_of_output(output), key=described.index):
        node: str = consumer
        for part in topology.supply_path(consumer):
            above = topology.site.cables[part].from_ if part in topology.site.cables else None
            if above:
                children.setdefault(above, {})[node] = part
                node = above
        if node != output:
            children.setdefault(output, {})[node] = None
    return children


def _depth_first(children: Children, output: str) -> Iterator[tuple[str, int, str | None, str | None]]:
    """Yield each part with its column, the part above it and the cable between."""
    waiting: list[tuple[str, int, str | None, str | None]] = [(output, 0, None, None)]
    while waiting:
        part, column, above, cable = waiting.pop()
        yield part, column, above, cable
        beyond = children.get(part, {})
        waiting += [(it, column + 1, part, beyond[it]) for it in reversed(beyond)]
