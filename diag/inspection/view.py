"""A site as an inspector sees it: its parts, the day, what is described completely, and the voltages worked out."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cache, cached_property

from pydantic import BaseModel

from diag.inspection.voltages import voltages_together
from diag.site import Site
from diag.topology import Topology

DAYS_A_YEAR = 365.25
UNSEEN_KINDS = frozenset({"thermostat", "temperature", "co2", "rain", "wind", "link"})
"""Inputs that move an opening with nobody looking."""

Words = dict[str, str | float | None]
"""Fields of one fact as words and amounts; None is left out, for nobody knows it."""


@dataclass(frozen=True)
class View:
    """Everything the facts of an inspection are worked out from; ages are unknown when today is."""

    topology: Topology
    today: date | None = None
    site: Site = field(init=False, repr=False)
    complete: Callable[[str, str], bool] = field(init=False, repr=False)
    controllers_of_zone: Callable[[str], frozenset[str]] = field(init=False, repr=False)
    drives_on: Callable[[str], tuple[str, ...]] = field(init=False, repr=False)
    moves_unseen: Callable[[str], bool] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "site", self.topology.site)
        object.__setattr__(self, "complete", cache(self._complete))
        object.__setattr__(self, "controllers_of_zone", cache(self._controllers_of_zone))
        object.__setattr__(self, "drives_on", cache(self._drives_on))
        object.__setattr__(self, "moves_unseen", cache(self._moves_unseen))

    def _complete(self, section: str, name: str) -> bool:
        """Return whether the section is described and every part in it has the field.

        Only then does what nobody names not exist: a drive without an output may hang on any.
        """
        members: Mapping[str, BaseModel] = getattr(self.site, section)
        return section in self.site.model_fields_set and all(
            getattr(member, name) is not None for member in members.values()
        )

    def years_since(self, day: date | None) -> float | None:
        """Return the years from a day to today."""
        return (self.today - day).days / DAYS_A_YEAR if day and self.today else None

    def _drives_on(self, output: str) -> tuple[str, ...]:
        """Return the drives that name the output."""
        return tuple(it for it in self.topology.consumers_of_output(output) if it in self.site.drives)

    def fans_on(self, output: str) -> list[str]:
        """Return the fans that name the output."""
        return [it for it in self.topology.consumers_of_output(output) if it in self.site.fans]

    def currents_a(self, consumers: Iterable[str], name: str = "running_current_a") -> float | None:
        """Return the sum of a current over drives and fans, or None when one is not described or there are none."""
        found: list[float | None] = [getattr(self.topology.parts[it], name, None) for it in consumers]
        known = [current for current in found if current is not None]
        return sum(known) if known and len(known) == len(found) else None

    def _controllers_of_zone(self, zone: str) -> frozenset[str]:
        """Return the controllers whose outputs move the zone's openings and fans."""
        outputs = {self.topology.output_of(it) for it in self.topology.consumers_of_zone(zone)}
        found = {self.site.outputs[output].controller for output in outputs if output}
        return frozenset(controller for controller in found if controller)

    def _moves_unseen(self, zone: str) -> bool:
        """Return whether sensors, the clock or a link move the zone with nobody looking."""
        kinds = {self.site.inputs[part].kind for part in self.topology.inputs_of_zone(zone)}
        others = self.topology.schedules_of_zone(zone) or self.topology.links_of_zone(zone)
        return bool(kinds & UNSEEN_KINDS) or bool(others)

    def has_smoke_opening(self, zone: str) -> bool:
        """Return whether an opening of the zone is described as one that opens for smoke."""
        return any(self.site.openings[it].smoke for it in self.site.zones[zone].openings or ())

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
    def input_kinds(self) -> frozenset[str | None]:
        """The kinds of input there are."""
        return frozenset(it.kind for it in self.site.inputs.values())

    @cached_property
    def running_v(self) -> Mapping[str, float]:
        """The volts at each drive with all drives of its output running, where the description tells."""
        return voltages_together(self.topology, "running_current_a")

    @cached_property
    def starting_v(self) -> Mapping[str, float]:
        """The volts at each drive with all drives of its output starting together."""
        return voltages_together(self.topology, "starting_current_a")


def yes_no(claim: bool | None) -> str | None:
    """Return yes or no; nothing when it is not known."""
    return None if claim is None else "yes" if claim else "no"


def some_none(parts: Collection[object], is_known: bool = True) -> str | None:
    """Return `some` when there are parts; `none` when there are none and that is known for sure."""
    return "some" if parts else "none" if is_known else None


def against(value: float | None, limit: float | None, above: str) -> str | None:
    """Return the word when the value is above the limit, else `ok`; nothing when either is not known."""
    if value is None or limit is None:
        return None
    return above if value > limit * (1 + 1e-9) else "ok"


def listed(parts: Iterable[str]) -> str:
    """Return ids joined for a sentence, in order."""
    return ", ".join(sorted(parts))
