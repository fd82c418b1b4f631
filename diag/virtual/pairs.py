"""Faults that come together more often than chance, and which parts of a site lie near each other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from random import Random

from diag.topology import Topology
from diag.virtual.faults import places_for

Pair = tuple[frozenset[str], frozenset[str]]
"""One cause of the first set and one of the second."""

TOGETHER: Mapping[str, Pair] = {
    "hinge-stiff-and-drive-worn": (
        frozenset({"hinge-seized"}),
        frozenset({"drive-gear-worn", "drive-motor-failed", "drive-overload-cut-out"}),
    ),
    "cores-swapped-and-end-of-line-wrong": (
        frozenset({"polarity-swapped"}),
        frozenset({"end-of-line-wrong", "end-of-line-missing"}),
    ),
    "settings-copied-and-address-doubled": (
        frozenset({"settings-from-elsewhere"}),
        frozenset({"link-address-duplicate"}),
    ),
    "box-wet-and-fuse-blown": (frozenset({"junction-box-wet"}), frozenset({"output-fuse-blown"})),
    "battery-and-charger-failed": (
        frozenset({"battery-aged", "battery-discharged"}),
        frozenset({"charger-failed"}),
    ),
    "cores-swapped-and-stroke-not-set": (
        frozenset({"polarity-swapped"}),
        frozenset({"drive-stroke-set-wrong"}),
    ),
}
"""Pairs that one event makes, under the name of a cause that means both; common practice, no source."""


def draw_pair(topology: Topology, dice: Random) -> tuple[tuple[str, str], tuple[str, str]] | None:
    """Return two causes with parts near each other, or None where this site can have no such pair."""
    open_ = [pair for pair in TOGETHER.values() if any(True for _ in places(topology, pair))]
    if not open_:
        return None
    return dice.choice(list(places(topology, dice.choice(open_))))


def places(topology: Topology, pair: Pair) -> Iterator[tuple[tuple[str, str], tuple[str, str]]]:
    """Yield every way in which a pair can sit at a site."""
    for one in sorted(pair[0]):
        for part in places_for(topology, one):
            for other in sorted(pair[1]):
                for beside in places_for(topology, other):
                    if are_beside(topology, part, beside):
                        yield (one, part), (other, beside)


def are_beside(topology: Topology, part: str, other: str) -> bool:
    """Return whether one event reaches both parts: one drive, a drive and its opening, or parts on one output."""
    kinds = {topology.kinds.get(part), topology.kinds.get(other)}
    if len(kinds) == 1:
        return part == other
    if kinds == {"opening", "drive"}:
        return part in topology.drives_of_opening(other) or other in topology.drives_of_opening(part)
    return are_near(topology, part, other)


def are_near(topology: Topology, part: str, other: str) -> bool:
    """Return whether two parts hang on one output, or on one controller where a part has no output."""
    if part == other:
        return True
    mine, theirs = outputs_of(topology, part), outputs_of(topology, other)
    if mine and theirs:
        return bool(mine & theirs)
    return bool(controllers_of(topology, part) & controllers_of(topology, other))


def outputs_of(topology: Topology, part: str) -> frozenset[str]:
    """Return the outputs that a part is, hangs on, or is moved by."""
    kind = topology.kinds.get(part)
    if kind == "output":
        return frozenset({part})
    if kind in ("cable", "junction"):
        consumers = topology.fed_through(part)
    elif kind == "opening":
        consumers = topology.drives_of_opening(part)
    else:
        consumers = (part,) if kind in ("drive", "fan") else ()
    return frozenset(it for it in map(topology.output_of, consumers) if it)


def controllers_of(topology: Topology, part: str) -> frozenset[str]:
    """Return the controllers that a part is or hangs on."""
    if topology.kinds.get(part) == "controller":
        return frozenset({part})
    own: str | None = getattr(topology.parts[part], "controller", None)
    found = [own, *(topology.site.outputs[it].controller for it in outputs_of(topology, part))]
    return frozenset(it for it in found if it)
