"""What an inspector compares at cables and boxes: cores, areas, the current carried, and whether anything is fed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from operator import attrgetter
from typing import Any, Final, NamedTuple

from diag.inspection.view import Described, View, Words, against, sum_known, yes_no
from diag.inspection.voltages import is_known_area

MAKES_KEPT = 1024

CARRIES_A: Final[Mapping[float, float]] = {
    0.5: 3.0, 0.75: 6.0, 1.0: 10.0, 1.5: 14.5, 2.5: 19.5, 4.0: 26.0, 6.0: 34.0, 10.0: 46.0, 16.0: 61.0,
}  # fmt: skip
"""Continuous amperes of two loaded copper cores, PVC, in conduit in an insulating wall (IEC 60364-5-52 table B.52.2,
method A1, from memory); below 1.5 mm2 as for flexible cords (from memory)."""

LEAST_CORES: Final[Mapping[str, int]] = {
    "reversing-24v": 2, "data-24v": 3, "three-core-230v": 3, "positioner-0-10v": 3, "positioner-4-20ma": 3,
    "fan-contact": 2,
}  # fmt: skip
"""Open and close by polarity; two and data; open, close and neutral; supply, common and signal; there and back."""


class Make(NamedTuple):
    """What a cable is, wherever it lies: its fields of these names. A site has few makes and many cables."""

    area_mm2: float | None
    conductor_class: int | None
    temperature_c: float | None
    cores: int | None
    data_core: bool | None


class Place(NamedTuple):
    """What a cable connects: the kind of output and what it feeds there, and the area of the cable before it."""

    output_kind: str | None
    carried_a: float | None
    is_addressable: bool | None
    to_kind: str | None
    before_mm2: float | None


_read_make = attrgetter(*Make._fields)


def cable_words(view: View, part: str) -> Described:
    """Return the words and figures of one cable."""
    it = view.site.cables[part]
    fed = view.fed_through.get(part) or [one for one in (it.to,) if one and one in view.consumers]
    above = view.cable_into.get(it.from_) if it.from_ else None
    to_kind = view.topology.kinds.get(it.to) if it.to else None
    before_mm2 = view.site.cables[above].area_mm2 if above else None
    shared = _shared_words(_read_make(it), (*_fed(view, fed), to_kind, before_mm2))
    return shared, {"length_m": it.length_m, "before": above}


def shared_cable_fields() -> frozenset[str]:
    """Return the fields that cables of one make in like places share."""
    return frozenset(_shared_words((None,) * len(Make._fields), (None,) * len(Place._fields)))


def _fed(view: View, fed: Sequence[str]) -> tuple[str | None, float | None, bool | None]:
    """Return the kind of the one output of all that is fed, what it draws, and whether a drive of it has an address."""
    if len(fed) == 1:  # nearly every cable of a large site
        only = view.consumers[fed[0]]
        return view.output_kinds.get(only.output), only.load.running_current_a, only.load.is_addressable
    found = [view.consumers[one] for one in fed]
    outputs = {it.output for it in found}
    kind = view.output_kinds.get(outputs.pop()) if len(outputs) == 1 else None
    return kind, sum_known(it.load.running_current_a for it in found), any(it.load.is_addressable for it in found)


@lru_cache(maxsize=MAKES_KEPT)
def _shared_words(make: tuple[Any, ...], where: tuple[Any, ...]) -> Words:
    """Return what can be said of every cable of this make in such a place."""
    it, place = Make._make(make), Place._make(where)
    cores = LEAST_CORES.get(place.output_kind or "")
    carries = CARRIES_A.get(it.area_mm2 or 0.0)
    return {
        "area_mm2": it.area_mm2,
        "conductor_class": None if it.conductor_class is None else float(it.conductor_class),
        "temperature_c": it.temperature_c,
        "cores": None if it.cores is None else float(it.cores),
        "data_core": yes_no(it.data_core),
        "output_kind": place.output_kind,
        "to_kind": place.to_kind,
        "feeds_addressable": "yes" if place.is_addressable else None,
        "least_cores": None if cores is None else float(cores),
        "core_count": against(cores, it.cores, "short"),
        "area": _area(it.area_mm2, it.conductor_class),
        "carried_a": place.carried_a,
        "carries_a": carries,
        "load": against(place.carried_a, carries, "over"),
        "before_mm2": place.before_mm2,
        "taper": against(it.area_mm2, place.before_mm2, "grows"),
    }


def _area(area_mm2: float | None, conductor_class: int | None) -> str | None:
    if area_mm2 is None:
        return None
    return "known" if is_known_area(area_mm2, conductor_class) else "odd"


def junction_words(view: View, part: str) -> Words:
    """Return the words and figures of one box."""
    it = view.site.junctions[part]
    return {
        "joint_resistance_ohm": it.joint_resistance_ohm,
        "outdoors": yes_no(it.outdoors),
        "feeds": "some" if part in view.cable_starts else "none" if view.complete("cables", "from_") else None,
        "fed": "some" if part in view.cable_into else "none" if view.complete("cables", "to") else None,
    }
