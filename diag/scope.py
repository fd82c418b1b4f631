"""The parts one diagnosis reasons over: the described ones in reach, and stand-ins for what is not described.

A stand-in is a part known to exist but not which one it is, or not described at all. Its id starts with `?`,
which no described id may hold, and it is linked to the other parts as a part of its kind would be.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping
from functools import cache
from typing import Any, TypeVar, get_args

from diag.rules import Fact
from diag.site import InputKind
from diag.topology import SITE_PART, Ids, Topology

OWN_CABLE, SHARED_CABLE, STAND_IN_JUNCTION = "?cable-own", "?cable-shared", "?junction"
MOST_KEPT = 4000

Result = TypeVar("Result")

INPUT_KINDS: tuple[str, ...] = get_args(InputKind)


def is_stand_in(part: str) -> bool:
    """Return whether the part stands in for one that is not known."""
    return part.startswith("?")


def stand_in(kind: str) -> str:
    """Return the id of the stand-in for a kind of part."""
    return f"?{kind}"


class Scope:
    """Relations between parts with stand-ins where the description says nothing.

    `chosen` names, per kind, the part that the case is about when a relation alone does not tell.
    """

    def __init__(self, topology: Topology, chosen: Mapping[str, str] | None = None) -> None:
        self.topology = topology
        self.chosen = dict(chosen or {})
        self.kind = cache(self._kind)
        self.chain = cache(self._chain)
        self.reaches = cache(self._reaches)
        self.controller_near = cache(self._controller_near)
        self.timeless: dict[str, tuple[Fact, ...]] = {}
        """Facts about a part that no case changes, kept by whoever builds them."""
        self._kept: dict[Hashable, Any] = {}

    def keep(self, key: Hashable, make: Callable[[], Result]) -> Result:
        """Return what was made under the key before, or make it now; it must follow from this scope and the key alone.

        Everything is forgotten when it grows past a bound, so that a long life does not fill memory.
        """
        result: Result | None = self._kept.get(key)
        if result is None:
            result = make()
            if len(self._kept) >= MOST_KEPT:
                self._kept.clear()
            self._kept[key] = result
        return result

    def _kind(self, part: str) -> str:
        """Return the kind of a described part or a stand-in."""
        if is_stand_in(part):
            return part[1:].split("-")[0]
        return self.topology.kind(part)

    def one(self, kind: str) -> str:
        """Return the part of a kind that is meant when none is named: chosen, the only one, or the stand-in."""
        if kind in self.chosen:
            return self.chosen[kind]
        described = self.topology.of_kind(kind)
        return described[0] if len(described) == 1 else stand_in(kind)

    def controller_of(self, part: str) -> str:
        """Return the controller of an output, input or link."""
        described = None if is_stand_in(part) else getattr(self.topology.parts[part], "controller", None)
        return described or self.one("controller")

    def output_of(self, consumer: str) -> str:
        """Return the output that feeds a drive or fan."""
        described = None if is_stand_in(consumer) else self.topology.output_of(consumer)
        return described or self.one("output")

    def opening_of(self, drive: str) -> str:
        """Return the opening that a drive moves."""
        if is_stand_in(drive):
            return self.one("opening")
        return self.topology.site.drives[drive].opening or self.one("opening")

    def drives_of(self, opening: str) -> Ids:
        """Return the drives that move an opening."""
        described = () if is_stand_in(opening) else self.topology.drives_of_opening(opening)
        return described or (self.one("drive"),)

    def zones_of(self, part: str) -> Ids:
        """Return the zones of a drive, opening, fan, input, link, lockout, schedule or output."""
        return self._described_zones(part) or (self.one("zone"),)

    def consumers_of_zone(self, zone: str) -> Ids:
        """Return the drives and fans of a zone."""
        described = () if is_stand_in(zone) else self.topology.consumers_of_zone(zone)
        return described or (self.one("drive"),)

    def consumers_of_output(self, output: str) -> Ids:
        """Return the drives and fans of an output."""
        described = () if is_stand_in(output) else self.topology.consumers_of_output(output)
        return described or (self.one("drive"),)

    def path(self, consumer: str) -> Ids:
        """Return cables and junctions that feed a drive or fan, nearest first."""
        described = () if is_stand_in(consumer) else self.topology.supply_path(consumer)
        return described or (OWN_CABLE, STAND_IN_JUNCTION, SHARED_CABLE)

    def fed_through(self, source: str) -> Ids:
        """Return the drives and fans fed through a cable or junction."""
        described = () if is_stand_in(source) else self.topology.fed_through(source)
        return described or (self.one("drive"),)

    def inputs_of_zone(self, zone: str) -> Ids:
        """Return the inputs that command or block a zone; one of every kind when inputs are not described."""
        if not is_stand_in(zone) and (found := self.topology.inputs_of_zone(zone)):
            return found
        if not self.topology.describes("input"):
            return tuple(stand_in(f"input-{kind}") for kind in INPUT_KINDS)
        return () if not is_stand_in(zone) else self.inputs_meant(INPUT_KINDS)

    def inputs_meant(self, kinds: Iterable[str]) -> Ids:
        """Return, for each of these kinds of input, the only one described, or a stand-in for one of several.

        A kind of which none is described is left out where the inputs are described.
        """
        described = self.topology.site.inputs
        found: list[str] = []
        for kind in kinds:
            parts = [part for part, it in described.items() if it.kind == kind]
            if len(parts) == 1:
                found.append(parts[0])
            elif parts or not self.topology.describes("input"):
                found.append(stand_in(f"input-{kind}"))
        return tuple(found)

    def lockouts_of_zone(self, zone: str) -> Ids:
        """Return the lockouts that act on a zone."""
        return self._of_zone(zone, "lockout", self.topology.lockouts_of_zone)

    def schedules_of_zone(self, zone: str) -> Ids:
        """Return the time programmes of a zone."""
        return self._of_zone(zone, "schedule", self.topology.schedules_of_zone)

    def links_of_zone(self, zone: str) -> Ids:
        """Return the building links that command a zone."""
        return self._of_zone(zone, "link", self.topology.links_of_zone)

    def closure(self, parts: Iterable[str]) -> Ids:
        """Return every part that rules and checks about these parts may speak of, sorted."""
        found: set[str] = {SITE_PART}
        for part in parts:
            found |= self.chain(part)
            if self.kind(part) == "controller":
                found |= self._on_controller(part)
            if self.kind(part) == "zone":
                found |= self._inputs_without_zone(found)
        return tuple(sorted(found))

    def related(self, first: str, second: str) -> bool:
        """Return whether one part lies on the supply or command chain of the other."""
        return first in self.chain(second) or second in self.chain(first)

    def _controller_near(self, part: str) -> str:
        """Return the controller on the chain of a part, the first by name where there are several."""
        controllers = [it for it in self.chain(part) if self.kind(it) == "controller"]
        return min(controllers) if controllers else self.one("controller")

    def _reaches(self, source: str, part: str, shared: str | None) -> bool:
        """Return whether what is wrong at one part can show at another.

        They must be related, or share a part of the kind given: an output or a controller. A described part is not
        felt at another described part of its own kind: a break in one lead of a run does not show in the next.
        """
        if self.related(source, part):
            twins = source != part and self.kind(source) == self.kind(part)
            if shared is not None or not twins or is_stand_in(source) or is_stand_in(part):
                return True
        return shared is not None and any(self.kind(it) == shared for it in self.chain(source) & self.chain(part))

    def _chain(self, part: str) -> frozenset[str]:
        grow = getattr(self, f"_chain_of_{self.kind(part)}", None)
        return frozenset({part, SITE_PART} | (grow(part) if grow else set()))

    def _chain_of_drive(self, drive: str) -> set[str]:
        return self._supply_of(drive) | {self.opening_of(drive)} | self._command_of(self.zones_of(drive))

    def _chain_of_fan(self, fan: str) -> set[str]:
        interlock = None if is_stand_in(fan) else self.topology.site.fans[fan].interlock
        damper = {interlock, *self.drives_of(interlock)} if interlock else set()
        return self._supply_of(fan) | damper | self._command_of(self.zones_of(fan))

    def _chain_of_opening(self, opening: str) -> set[str]:
        drives = self.drives_of(opening)
        supply = {part for drive in drives for part in self._supply_of(drive)}
        return {*drives} | supply | self._command_of(self.zones_of(opening))

    def _chain_of_cable(self, cable: str) -> set[str]:
        return {part for consumer in self.fed_through(cable) for part in self._chain_of_consumer(consumer, cable)}

    _chain_of_junction = _chain_of_cable

    def _chain_of_output(self, output: str) -> set[str]:
        consumers = self.consumers_of_output(output)
        sources = {part for consumer in consumers for part in self.path(consumer)}
        openings = {self.opening_of(part) for part in consumers if self.kind(part) == "drive"}
        zones = {zone for consumer in consumers for zone in self.zones_of(consumer)}
        return {*consumers, self.controller_of(output)} | sources | openings | self._command_of(sorted(zones))

    def _chain_of_zone(self, zone: str) -> set[str]:
        consumers = self.consumers_of_zone(zone)
        supply = {part for consumer in consumers for part in self._supply_of(consumer)}
        openings = {self.opening_of(part) for part in consumers if self.kind(part) == "drive"}
        return {*consumers} | supply | openings | self._command_of((zone,))

    def _chain_of_input(self, part: str) -> set[str]:
        link = None if is_stand_in(part) else self.topology.site.inputs[part].link
        return {self.controller_of(part), *self._with_commands(self.zones_of(part))} | ({link} if link else set())

    def _chain_of_lockout(self, part: str) -> set[str]:
        return set(self._with_commands(self.zones_of(part)))

    _chain_of_schedule = _chain_of_lockout

    def _chain_of_link(self, link: str) -> set[str]:
        return {self.controller_of(link), *self._with_commands(self.zones_of(link))}

    def _chain_of_consumer(self, consumer: str, source: str) -> set[str]:
        path = self.path(consumer)
        above = set(path[path.index(source) :]) if source in path else set(path)
        output = self.output_of(consumer)
        opening = {self.opening_of(consumer)} if self.kind(consumer) == "drive" else set()
        return above | {consumer, output, self.controller_of(output), *self.zones_of(consumer)} | opening

    def _supply_of(self, consumer: str) -> set[str]:
        output = self.output_of(consumer)
        return {*self.path(consumer), output, self.controller_of(output)}

    def _command_of(self, zones: Iterable[str]) -> set[str]:
        return set(self._with_commands(zones))

    def _with_commands(self, zones: Iterable[str]) -> Iterable[str]:
        for zone in zones:
            yield zone
            for part in (*self.inputs_of_zone(zone), *self.links_of_zone(zone)):
                yield part
                yield self.controller_of(part)
            yield from self.lockouts_of_zone(zone)
            yield from self.schedules_of_zone(zone)

    def _on_controller(self, controller: str) -> set[str]:
        if is_stand_in(controller):
            zone = self.one("zone")
            return {self.one("output")} | set(self._with_commands((zone,)))
        topology = self.topology
        outputs = topology.outputs_of_controller(controller) or (self.one("output"),)
        zones = {zone for output in outputs for zone in self.zones_of(output)}
        inputs = {*topology.inputs_of_controller(controller), *topology.links_of_controller(controller)}
        consumers = {it for output in outputs for it in self.consumers_of_output(output)}
        cables = {part for it in consumers for part in self.path(it)}
        return {*outputs} | inputs | consumers | cables | set(self._with_commands(sorted(zones)))

    def _inputs_without_zone(self, parts: set[str]) -> set[str]:
        """Return the inputs at a controller among these parts that no zone is named for: one may be meant for it."""
        inputs = self.topology.site.inputs
        return {part for part, it in inputs.items() if it.zones == [] and self.controller_of(part) in parts}

    def _described_zones(self, part: str) -> Ids:
        if is_stand_in(part):
            return ()
        kind = self.topology.kind(part)
        if kind == "drive":
            opening = self.topology.site.drives[part].opening
            return self.topology.zones_of_opening(opening) if opening else ()
        if kind == "opening":
            return self.topology.zones_of_opening(part)
        if kind == "fan":
            return self.topology.zones_of_fan(part)
        if kind == "output":
            consumers = self.topology.consumers_of_output(part)
            return tuple(sorted({zone for consumer in consumers for zone in self._described_zones(consumer)}))
        return tuple(getattr(self.topology.parts[part], "zones", None) or ())

    def _of_zone(self, zone: str, kind: str, described: object) -> Ids:
        if not is_stand_in(zone):
            found: Ids = described(zone)  # type: ignore[operator]
            if found or self.topology.describes(kind):
                return found
        elif self.topology.describes(kind) and not self.topology.of_kind(kind):
            return ()
        return (self.one(kind),)
