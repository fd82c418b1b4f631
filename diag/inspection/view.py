"""A site as an inspector sees it: its parts, the day, what is described completely, and the voltages worked out."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cache, cached_property
from itertools import chain
from operator import attrgetter
from typing import NamedTuple, cast

from pydantic import BaseModel

from diag.inspection.consumers import Consumer, read_consumers
from diag.inspection.voltages import Paths, Wiring, cable_paths, lay_out_wiring, voltages_together
from diag.site import Input, Link, Lockout, Schedule, Site
from diag.site_circuits import supply_voltage_v
from diag.topology import Topology

DAYS_A_YEAR = 365.25
UNSEEN_KINDS = frozenset({"thermostat", "temperature", "co2", "rain", "wind", "link"})
"""Inputs that move an opening with nobody looking."""
WEATHERS = frozenset({"rain", "wind"})

Words = dict[str, str | float | None]
"""Fields of one fact as words and amounts; None is left out, for nobody knows it."""


Described = tuple[Words, Words]
"""The words of one part in two halves: one mapping for all parts alike, never written to, and what is its own.

Which fields are shared is the same for all parts of a kind.
"""


class Known(NamedTuple):
    """What is described completely of who commands zones: every input's kind and zones, its class, and the rest.

    `others` are the zones of time programmes and links, `clock` the zones and deeds of time programmes.
    """

    inputs: bool = False
    classes: bool = False
    others: bool = False
    clock: bool = False


@dataclass(frozen=True)
class View:
    """Everything the facts of an inspection are worked out from; ages are unknown when today is."""

    topology: Topology
    today: date | None = None
    site: Site = field(init=False, repr=False)
    has_all: Callable[[str, str], bool] = field(init=False, repr=False)
    controllers_of_zone: Callable[[str], frozenset[str]] = field(init=False, repr=False)
    supply_v: Callable[[str], float | None] = field(init=False, repr=False)
    drives_on: Callable[[str], tuple[str, ...]] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "site", self.topology.site)
        object.__setattr__(self, "has_all", cache(self._has_all))
        object.__setattr__(self, "controllers_of_zone", cache(self._controllers_of_zone))
        object.__setattr__(self, "supply_v", cache(self._supply_v))
        object.__setattr__(self, "drives_on", cache(self._drives_on))

    def complete(self, section: str, name: str) -> bool:
        """Return whether the section is described and every part in it has the field.

        Only then does what nobody names not exist: a drive without an output may hang on any.
        """
        return section in self.site.model_fields_set and self.has_all(section, name)

    def _has_all(self, section: str, name: str) -> bool:
        """Return whether every part described in the section has the field."""
        members: Mapping[str, BaseModel] = getattr(self.site, section)
        return None not in map(attrgetter(name), members.values())

    def _supply_v(self, output: str) -> float | None:
        return supply_voltage_v(self.topology, output)

    @cached_property
    def uncabled(self) -> str | None:
        """What can be said of a part that no cable reaches: `none` when all cables are described from end to end."""
        cables = self.site.cables and self.complete("cables", "to") and self.complete("cables", "from_")
        return "none" if cables else None

    def years_since(self, day: date | None) -> float | None:
        """Return the years from a day to today."""
        return (self.today - day).days / DAYS_A_YEAR if day and self.today else None

    def _drives_on(self, output: str) -> tuple[str, ...]:
        """Return the drives that name the output."""
        return tuple(it for it in self.topology.consumers_of_output(output) if it in self.site.drives)

    @cached_property
    def consumers(self) -> Mapping[str, Consumer]:
        """The drives and the fans."""
        return read_consumers(self.site)

    def running_a(self, consumers: Iterable[str]) -> float | None:
        """Return the running currents of drives and fans together, or None when one is not described."""
        return sum_known(self.consumers[it].load.running_current_a for it in consumers)

    def starting_a(self, drives: Iterable[str]) -> float | None:
        """Return the starting currents of drives together, or None when one is not described."""
        return sum_known(self.consumers[it].load.starting_current_a for it in drives)

    def _controllers_of_zone(self, zone: str) -> frozenset[str]:
        """Return the controllers whose outputs move the zone's openings and fans."""
        it = self.site.zones[zone]
        drives = [drive for opening in it.openings or () for drive in self.topology.drives_of_opening(opening)]
        outputs = {self.consumers[one].output for one in (*drives, *(it.fans or ()))}
        found = {self.site.outputs[output].controller for output in outputs if output}
        return frozenset(controller for controller in found if controller)

    @cached_property
    def zones_moved_unseen(self) -> frozenset[str]:
        """The zones that sensors, the clock or a link move with nobody looking."""
        inputs = (it.zones for it in self.site.inputs.values() if it.kind in UNSEEN_KINDS)
        others = (it.zones for it in chain[Schedule | Link](self.site.schedules.values(), self.site.links.values()))
        return frozenset(zone for zones in chain(inputs, others) for zone in zones or ())

    def has_roof_vent(self, zone: str) -> bool:
        """Return whether the zone holds a roof vent."""
        return any(self.site.openings[it].kind == "roof-vent" for it in self.site.zones[zone].openings or ())

    @cached_property
    def cable_starts(self) -> frozenset[str | None]:
        """Where cables start."""
        return frozenset(it.from_ for it in self.site.cables.values())

    @cached_property
    def cable_into(self) -> Mapping[str | None, str]:
        """The cable that ends at each part."""
        return {it.to: cable for cable, it in self.site.cables.items()}

    @cached_property
    def watched_inputs(self) -> frozenset[str | None]:
        """The inputs that lockouts watch."""
        return frozenset(it.input for it in self.site.lockouts.values())

    @cached_property
    def inputs_are_known(self) -> bool:
        """Whether every input says what it is and whom it commands."""
        return self.complete("inputs", "zones") and self.complete("inputs", "kind")

    @cached_property
    def known(self) -> Known:
        """What is described completely of who commands zones."""
        scheduled = self.complete("schedules", "zones")
        return Known(
            inputs=self.inputs_are_known,
            classes=self.complete("inputs", "command_class"),
            others=scheduled and self.complete("links", "zones"),
            clock=scheduled and self.complete("schedules", "does"),
        )

    @cached_property
    def closed_by_weather(self) -> Mapping[str, frozenset[str]]:
        """The weathers that close each zone: by their sensor, or by a lockout that forces it closed."""
        inputs = (it for it in self.site.inputs.values() if it.active_does in (None, "close", "run-to-end"))
        lockouts = (it for it in self.site.lockouts.values() if it.forces in (None, "close"))
        found: dict[str, set[str]] = defaultdict(set)
        for it in chain[Input | Lockout](inputs, lockouts):
            for zone in it.zones or () if it.kind in WEATHERS else ():
                found[zone].add(it.kind or "")
        return {zone: frozenset(kinds) for zone, kinds in found.items()}

    @cached_property
    def weather_left_out(self) -> str | None:
        """What can be said of a weather that closes a zone nowhere: `none` when all that could is described."""
        known = self.inputs_are_known and self.complete("lockouts", "zones") and self.complete("lockouts", "kind")
        return "none" if known else None

    @cached_property
    def input_kinds(self) -> frozenset[str | None]:
        """The kinds of input there are."""
        return frozenset(it.kind for it in self.site.inputs.values())

    @cached_property
    def paths(self) -> Paths:
        """The cables from each drive and fan that a cable reaches up towards its output."""
        return cable_paths(self.topology)

    @cached_property
    def fed_through(self) -> Mapping[str, Sequence[str]]:
        """The drives and fans fed through each cable."""
        found: dict[str, list[str]] = defaultdict(list)
        for part, path in self.paths.items():
            for cable in path:
                found[cable].append(part)
        return found

    @cached_property
    def output_kinds(self) -> Mapping[str | None, str | None]:
        """The kind of each output."""
        return {part: it.kind for part, it in self.site.outputs.items()}

    @cached_property
    def smoke_claims(self) -> Mapping[str, frozenset[bool | None]]:
        """What the openings of each zone say about opening for smoke."""
        openings = self.site.openings
        zones = self.site.zones.items()
        return {zone: frozenset([openings[one].smoke for one in it.openings or ()]) for zone, it in zones}

    @cached_property
    def wiring(self) -> Wiring:
        """The cables from the outputs to the drives, where they are described."""
        return lay_out_wiring(self.topology, self.paths)

    @cached_property
    def running_v(self) -> Mapping[str, float]:
        """The volts at each drive with all drives of its output running, where the description tells."""
        return voltages_together(self.site.drives, self.wiring, "running_current_a")

    @cached_property
    def starting_v(self) -> Mapping[str, float]:
        """The volts at each drive with all drives of its output starting together."""
        return voltages_together(self.site.drives, self.wiring, "starting_current_a")


def yes_no(claim: bool | None) -> str | None:
    """Return yes or no; nothing when it is not known."""
    return None if claim is None else "yes" if claim else "no"


def some_none(parts: Collection[object], is_known: bool = True) -> str | None:
    """Return `some` when there are parts; `none` when there are none and that is known for sure."""
    return "some" if parts else "none" if is_known else None


def sum_known(values: Iterable[float | None]) -> float | None:
    """Return the sum, or None when one is not known or there are none."""
    found = list(values)
    return None if not found or None in found else sum(cast("list[float]", found))


def against(value: float | None, limit: float | None, above: str) -> str | None:
    """Return the word when the value is above the limit, else `ok`; nothing when either is not known."""
    if value is None or limit is None:
        return None
    return above if value > limit * (1 + 1e-9) else "ok"


def listed(parts: Iterable[str]) -> str:
    """Return ids joined for a sentence, in order."""
    return ", ".join(sorted(parts))
