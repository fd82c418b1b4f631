"""How the described parts of one site hang together: what feeds, moves and commands what."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from pydantic import BaseModel

from diag.site import Site

KINDS = {
    "controllers": "controller",
    "outputs": "output",
    "drives": "drive",
    "openings": "opening",
    "cables": "cable",
    "junctions": "junction",
    "zones": "zone",
    "inputs": "input",
    "lockouts": "lockout",
    "schedules": "schedule",
    "links": "link",
    "fans": "fan",
}
SITE_PART = "site"

Ids = tuple[str, ...]


@dataclass(frozen=True)
class Topology:
    """Relations between the described parts. Tuples are sorted; an empty one means none is described."""

    site: Site
    parts: Mapping[str, BaseModel] = field(repr=False)
    kinds: Mapping[str, str] = field(repr=False)

    def kind(self, part: str) -> str:
        """Return the kind of a described part; KeyError when there is none by that id."""
        return SITE_PART if part == SITE_PART else self.kinds[part]

    def of_kind(self, kind: str) -> Ids:
        """Return the ids of all described parts of a kind."""
        return self._by_kind.get(kind, ())

    def describes(self, kind: str) -> bool:
        """Return whether the file says anything of this kind of part, be it that there are none."""
        return next(name for name, kind_ in KINDS.items() if kind_ == kind) in self.site.model_fields_set

    def name(self, part: str) -> str:
        """Return the name people know the part by, or its id."""
        if part == SITE_PART:
            return self.site.name
        return getattr(self.parts.get(part), "name", None) or part

    def zones_of_opening(self, opening: str) -> Ids:
        """Return the zones that list the opening."""
        return self._zones_by_opening.get(opening, ())

    def zones_of_fan(self, fan: str) -> Ids:
        """Return the zones that list the fan."""
        return self._zones_by_fan.get(fan, ())

    def drives_of_opening(self, opening: str) -> Ids:
        """Return the drives that move the opening."""
        return self._drives_by_opening.get(opening, ())

    def consumers_of_output(self, output: str) -> Ids:
        """Return the drives and fans that name the output."""
        return self._consumers_by_output.get(output, ())

    def outputs_of_controller(self, controller: str) -> Ids:
        """Return the outputs that name the controller."""
        return self._outputs_by_controller.get(controller, ())

    def inputs_of_controller(self, controller: str) -> Ids:
        """Return the inputs that name the controller."""
        return self._inputs_by_controller.get(controller, ())

    def links_of_controller(self, controller: str) -> Ids:
        """Return the building links that name the controller."""
        return self._links_by_controller.get(controller, ())

    def inputs_of_zone(self, zone: str) -> Ids:
        """Return the inputs that command or block the zone."""
        return self._inputs_by_zone.get(zone, ())

    def lockouts_of_zone(self, zone: str) -> Ids:
        """Return the lockouts that act on the zone."""
        return self._lockouts_by_zone.get(zone, ())

    def schedules_of_zone(self, zone: str) -> Ids:
        """Return the time programmes of the zone."""
        return self._schedules_by_zone.get(zone, ())

    def links_of_zone(self, zone: str) -> Ids:
        """Return the building links that command the zone."""
        return self._links_by_zone.get(zone, ())

    def consumers_of_zone(self, zone: str) -> Ids:
        """Return the drives of the zone's openings and its fans."""
        described = self.site.zones[zone]
        drives = {drive for opening in described.openings or () for drive in self.drives_of_opening(opening)}
        return tuple(sorted(drives | set(described.fans or ())))

    def output_of(self, consumer: str) -> str | None:
        """Return the output that the drive or fan names."""
        output: str | None = getattr(self.parts[consumer], "output", None)
        return output

    def supply_path(self, consumer: str) -> Ids:
        """Return cables and junctions from the consumer up towards its output; empty when no cable reaches it."""
        return self._supply_paths.get(consumer, ())

    def fed_through(self, source: str) -> Ids:
        """Return the drives and fans fed through a cable or junction."""
        return self._consumers_by_source.get(source, ())

    def parts_at(self, place: str) -> Ids:
        """Return the parts that stand in a place."""
        return self._parts_by_place.get(place, ())

    def path_of_source(self, source: str) -> Ids:
        """Return cables and junctions above a cable or junction, and its output when the tree reaches one."""
        return tuple(self._climb(source))

    @cached_property
    def _by_kind(self) -> dict[str, Ids]:
        return _grouped((kind, part) for part, kind in self.kinds.items())

    @cached_property
    def _zones_by_opening(self) -> dict[str, Ids]:
        return _grouped((opening, zone) for zone, it in self.site.zones.items() for opening in it.openings or ())

    @cached_property
    def _zones_by_fan(self) -> dict[str, Ids]:
        return _grouped((fan, zone) for zone, it in self.site.zones.items() for fan in it.fans or ())

    @cached_property
    def _drives_by_opening(self) -> dict[str, Ids]:
        return _grouped((it.opening, drive) for drive, it in self.site.drives.items() if it.opening)

    @cached_property
    def _consumers_by_output(self) -> dict[str, Ids]:
        consumers: dict[str, str | None] = {part: it.output for part, it in self.site.drives.items()}
        consumers |= {part: it.output for part, it in self.site.fans.items()}
        return _grouped((output, part) for part, output in consumers.items() if output)

    @cached_property
    def _outputs_by_controller(self) -> dict[str, Ids]:
        return _grouped((it.controller, part) for part, it in self.site.outputs.items() if it.controller)

    @cached_property
    def _inputs_by_controller(self) -> dict[str, Ids]:
        return _grouped((it.controller, part) for part, it in self.site.inputs.items() if it.controller)

    @cached_property
    def _links_by_controller(self) -> dict[str, Ids]:
        return _grouped((it.controller, part) for part, it in self.site.links.items() if it.controller)

    @cached_property
    def _inputs_by_zone(self) -> dict[str, Ids]:
        return _grouped((zone, part) for part, it in self.site.inputs.items() for zone in it.zones or ())

    @cached_property
    def _lockouts_by_zone(self) -> dict[str, Ids]:
        return _grouped((zone, part) for part, it in self.site.lockouts.items() for zone in it.zones or ())

    @cached_property
    def _schedules_by_zone(self) -> dict[str, Ids]:
        return _grouped((zone, part) for part, it in self.site.schedules.items() for zone in it.zones or ())

    @cached_property
    def _links_by_zone(self) -> dict[str, Ids]:
        return _grouped((zone, part) for part, it in self.site.links.items() for zone in it.zones or ())

    @cached_property
    def _cable_to(self) -> dict[str, str]:
        return {it.to: cable for cable, it in sorted(self.site.cables.items(), reverse=True) if it.to}

    @cached_property
    def _supply_paths(self) -> dict[str, Ids]:
        consumers = [*self.site.drives, *self.site.fans]
        return {part: tuple(self._climb(part)) for part in consumers if part in self._cable_to}

    @cached_property
    def _consumers_by_source(self) -> dict[str, Ids]:
        return _grouped((source, part) for part, path in self._supply_paths.items() for source in path)

    @cached_property
    def _parts_by_place(self) -> dict[str, Ids]:
        return _grouped((getattr(it, "place", None), part) for part, it in self.parts.items())

    def _climb(self, part: str) -> Iterator[str]:
        seen = {part}
        above = self.site.cables[part].from_ if part in self.site.cables else self._cable_to.get(part)
        while above and above not in seen and self.kinds.get(above) in ("cable", "junction"):
            seen.add(above)
            yield above
            above = self.site.cables[above].from_ if above in self.site.cables else self._cable_to.get(above)


def read_topology(site: Site) -> Topology:
    """Return the relations of a valid site description."""
    parts: dict[str, BaseModel] = {}
    kinds: dict[str, str] = {}
    for group, kind in KINDS.items():
        for part, described in getattr(site, group).items():
            parts[part] = described
            kinds[part] = kind
    return Topology(site, parts, kinds)


def _grouped(pairs: Iterable[tuple[str | None, str]]) -> dict[str, Ids]:
    groups: dict[str, set[str]] = defaultdict(set)
    for key, part in pairs:
        if key:
            groups[key].add(part)
    return {key: tuple(sorted(parts)) for key, parts in groups.items()}
