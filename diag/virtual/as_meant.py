"""Tell whether a zone and all it hangs on are in the condition that its description means."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from diag.virtual.fitted import Fitted, ZoneCondition, sound_parts
from diag.virtual.site import VirtualSite


def is_as_meant(site: VirtualSite, zone: str) -> bool:
    """Return whether nothing that the zone hangs on differs from a sound site; what people commanded does not count."""
    sound, now = sound_parts(site.topology.site), site.fitted
    parts = set(_chain(site, zone))
    return _commanded(now.zones[zone]) == sound.zones[zone] and all(
        group[part] == other[part] for group, other in _groups(now, sound) for part in group if part in parts
    )


def _commanded(zone: ZoneCondition) -> ZoneCondition:
    """Return the zone with hand commands forgotten, which are no fault."""
    return replace(zone, manual_minutes_ago=None, manual_action="close")


def _groups(now: Fitted, sound: Fitted) -> Iterable[tuple[Mapping[str, Any], Mapping[str, Any]]]:
    names = ("controllers", "outputs", "cables", "junctions", "drives", "openings", "inputs", "links", "fans")
    return [(getattr(now, name), getattr(sound, name)) for name in names]


def _chain(site: VirtualSite, zone: str) -> Iterable[str]:
    """Yield the parts that the zone hangs on, itself left out."""
    topology = site.topology
    described = topology.site.zones[zone]
    yield from described.openings or ()
    for consumer in topology.consumers_of_zone(zone):
        yield consumer
        yield from topology.supply_path(consumer)
        output = topology.output_of(consumer)
        if output:
            yield output
            yield topology.site.outputs[output].controller or output
    yield from topology.inputs_of_zone(zone)
    yield from topology.links_of_zone(zone)
    yield from (topology.site.inputs[it].controller or it for it in topology.inputs_of_zone(zone))
