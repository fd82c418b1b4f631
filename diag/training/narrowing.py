"""Take one controller out of a large site, with all that hangs on it: nobody is asked about a thousand drives."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import TypeVar

from diag.site import Cable, Drive, Part, Site

MOST_DRIVES = 60
"""Sites with more drives are asked about controller by controller: a virtual copy of all of them takes too long."""

Kept = TypeVar("Kept", bound=Part)


def part_for(site: Site, seed: int) -> Site:
    """Return the site, or of a large one the part of one controller, chosen by the seed."""
    if len(site.drives) <= MOST_DRIVES or not site.controllers:
        return site
    names = sorted(it for it in site.controllers if _drives_of(site, it)) or sorted(site.controllers)
    return part_of(site, names[seed % len(names)])


def part_of(site: Site, controller: str) -> Site:
    """Return a site with one controller, its outputs and what they feed, and what commands that."""
    outputs = {name: it for name, it in site.outputs.items() if it.controller == controller}
    drives, fans = _drives_of(site, controller), {n: it for n, it in site.fans.items() if it.output in outputs}
    openings = {it.opening for it in drives.values()}
    inputs = {name: it for name, it in site.inputs.items() if it.controller == controller}
    cables = dict(_cables(site, {*outputs, *inputs, controller}))
    ends = {it.to for it in cables.values()}
    zones = {
        name: it.model_copy(update={"openings": _those(it.openings, openings), "fans": _those(it.fans, fans)})
        for name, it in site.zones.items()
        if set(it.openings or ()) & openings or set(it.fans or ()) & fans.keys()
    }
    return site.model_copy(
        update={
            "controllers": {controller: site.controllers[controller]},
            "outputs": outputs,
            "drives": drives,
            "openings": {name: it for name, it in site.openings.items() if name in openings},
            "junctions": {name: it for name, it in site.junctions.items() if name in ends},
            "cables": cables,
            "zones": zones,
            "inputs": _in_zones(inputs, zones),
            "lockouts": _in_zones({n: it for n, it in site.lockouts.items() if it.input in (None, *inputs)}, zones),
            "schedules": _in_zones(site.schedules, zones),
            "links": _in_zones({n: it for n, it in site.links.items() if it.controller == controller}, zones),
            "fans": {n: it.model_copy(update={"interlock": _kept(it.interlock, openings)}) for n, it in fans.items()},
        }
    )


def _drives_of(site: Site, controller: str) -> dict[str, Drive]:
    outputs = {name for name, it in site.outputs.items() if it.controller == controller}
    return {name: it for name, it in site.drives.items() if it.output in outputs}


def _cables(site: Site, nodes: set[str]) -> Iterator[tuple[str, Cable]]:
    """Yield the cables that lead from these nodes on, and to the inputs among them."""
    reached, left = set(nodes), dict(site.cables)
    while found := {n: it for n, it in left.items() if it.from_ in reached}:
        yield from found.items()
        reached |= {it.to or "" for it in found.values()}
        left = {name: it for name, it in left.items() if name not in found}


def _in_zones(parts: Mapping[str, Kept], zones: Collection[str]) -> dict[str, Kept]:
    """Return the parts that act on one of the zones, or on none in particular, with these zones alone."""
    kept = {}
    for name, it in parts.items():
        named = getattr(it, "zones", None)
        left = _those(named, zones)
        if named is None or left:
            kept[name] = it.model_copy(update={"zones": left})
    return kept


def _those(named: list[str] | None, among: Collection[str | None]) -> list[str] | None:
    return None if named is None else [it for it in named if it in among]


def _kept(named: str | None, among: Collection[str | None]) -> str | None:
    return named if named in among else None
