"""What an inspector compares at an output: its load, its protection, its run time and what hangs on it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from operator import attrgetter
from typing import Any, NamedTuple

from diag.calculators.preferred_values import is_preferred
from diag.calculators.travel import Travel, run_time_needed_s
from diag.inspection.consumers import Load
from diag.inspection.view import Described, View, Words, against, some_none, sum_known, yes_no
from diag.inspection.wiring_facts import CARRIES_A
from diag.site import Output

MAKES_KEPT = 1024
EXCESSIVE_RUN_TIMES = 4.0
UNPROTECTED_TIMES = 2.0
"""A fuse of more than this many times what a cable may carry does not protect it: judgement."""


class Make(NamedTuple):
    """What an output is, whichever it is: its fields of these names."""

    kind: str | None
    enabled: bool | None
    supervised: bool | None
    end_of_line_ohm: float | None
    rated_current_a: float | None
    trip_current_a: float | None
    fuse_a: float | None
    run_time_s: float | None
    expected_drives: int | None


class Place(NamedTuple):
    """What hangs on an output and before it; a site has many outputs and few that differ in this.

    `smoke_claims` is what the openings of its drives say, `zones` how many zones they serve: none, one or several.
    """

    loads: tuple[Load, ...]
    are_drives_known: bool
    are_fans_known: bool
    smoke_claims: frozenset[bool | None]
    zones: str | None
    supply_rated_a: float | None
    thinnest_a: float | None


_read_make = attrgetter(*Make._fields)


def output_words(view: View, part: str) -> Described:
    """Return the words and figures of one output."""
    it = view.site.outputs[part]
    consumers = [view.consumers[one] for one in view.topology.consumers_of_output(part)]
    openings = {one.opening for one in consumers if one.load.is_drive}
    zones = {zone for one in openings if one for zone in view.topology.zones_of_opening(one)}
    thinnest, thinnest_a = (None, None) if it.fuse_a is None else _thinnest(view, part)
    place = (
        tuple([one.load for one in consumers]),
        view.complete("drives", "output"),
        view.complete("fans", "output"),
        frozenset([view.site.openings[one].smoke if one else None for one in openings]),
        None if not zones else "one" if len(zones) == 1 else "several",
        _supply_rated_a(view, it),
        thinnest_a,
    )
    return _shared_words(_read_make(it), place), {"controller": it.controller, "thinnest": thinnest}


def shared_output_fields() -> frozenset[str]:
    """Return the fields that outputs of one make with like loads share."""
    nothing = ((), False, False, frozenset[bool | None](), None, None, None)
    return frozenset(_shared_words((None,) * len(Make._fields), nothing))


@lru_cache(maxsize=MAKES_KEPT)
def _shared_words(make: tuple[Any, ...], where: tuple[Any, ...]) -> Words:
    """Return what can be said of every output of this make in such a place."""
    it, place = Make._make(make), Place._make(where)
    drives = [one for one in place.loads if one.is_drive]
    return {
        "kind": it.kind,
        "enabled": yes_no(it.enabled),
        "supervised": yes_no(it.supervised),
        "end_of_line_ohm": it.end_of_line_ohm,
        "end_of_line": None if it.end_of_line_ohm is None else _preferred(it.end_of_line_ohm),
        "run_time_s": it.run_time_s,
        "expected_drives": None if it.expected_drives is None else float(it.expected_drives),
        "consumers": some_none(place.loads, place.are_drives_known and place.are_fans_known),
        "fitted_drives": float(len(drives)),
        "count": _count(it, len(drives)) if place.are_drives_known else None,
        "mixed": _mixed(drives),
        "smoke": _smoke(place.smoke_claims),
        "zones": place.zones,
        **_load_words(it, place.loads, drives),
        **_travel_words(it, drives),
        "supply_rated_a": place.supply_rated_a,
        "supply": against(it.rated_current_a, place.supply_rated_a, "exceeded"),
        "thinnest_a": place.thinnest_a,
        "fuse_cable": against(it.fuse_a, place.thinnest_a and place.thinnest_a * UNPROTECTED_TIMES, "above"),
    }


def _preferred(resistance_ohm: float) -> str:
    return "preferred" if is_preferred(resistance_ohm) else "odd"


def _count(it: Make, fitted: int) -> str | None:
    return None if it.expected_drives is None else "equal" if it.expected_drives == fitted else "differs"


def _mixed(drives: Sequence[Load]) -> str | None:
    """Drives for different voltages, or with and without a data core, do not belong on one output."""
    volts = {it.supply_voltage_v for it in drives} - {None}
    cores = {it.is_addressable for it in drives} - {None}
    return yes_no(len(volts) > 1 or len(cores) > 1)


def _smoke(claims: frozenset[bool | None]) -> str | None:
    """Return whether all, some or none of the drives move smoke openings; nothing when one does not say."""
    if not claims or None in claims:
        return None
    return "none" if True not in claims else "some" if False in claims else "all"


def _load_words(it: Make, loads: Sequence[Load], drives: Sequence[Load]) -> Words:
    drawn = sum_known(one.running_current_a for one in loads)
    starting = sum_known(one.starting_current_a for one in drives)
    return {
        "rated_current_a": it.rated_current_a,
        "trip_current_a": it.trip_current_a,
        "fuse_a": it.fuse_a,
        "drawn_a": drawn,
        "starting_a": starting,
        "loading": against(drawn, it.rated_current_a, "over"),
        "starting": against(starting, it.trip_current_a, "over"),
        "trip": against(drawn, it.trip_current_a, "under"),
        "trip_fuse": against(it.trip_current_a, it.fuse_a, "above"),
        "fuse": against(drawn, it.fuse_a, "under"),
    }


def _supply_rated_a(view: View, it: Output) -> float | None:
    """Return what the supply of an extra-low voltage output is rated."""
    supply = view.site.controllers[it.controller].supply if it.controller else None
    if supply is None or it.kind in (None, "three-core-230v", "fan-contact"):
        return None
    return supply.rated_current_a


def _thinnest(view: View, part: str) -> tuple[str | None, float | None]:
    """Return the thinnest cable behind an output and what it may carry; nothing when one area is not known."""
    cables = {cable for drive in view.drives_on(part) for cable in view.paths.get(drive, ())}
    carries = {cable: CARRIES_A.get(view.site.cables[cable].area_mm2 or 0.0) for cable in cables}
    known = {cable: amperes for cable, amperes in carries.items() if amperes is not None}
    if not known or len(known) < len(carries):
        return None, None
    thinnest = min(sorted(known), key=known.__getitem__)
    return thinnest, known[thinnest]


def _travel_words(it: Make, drives: Sequence[Load]) -> Words:
    slowest = max((one.travel_s for one in drives if one.travel_s is not None), default=None)
    if slowest is None or it.run_time_s is None:
        return {"travel_s": None, "travel": None}
    needed = run_time_needed_s(Travel(slowest, 1.0))
    return {"travel_s": slowest, "travel": _travel(it.run_time_s, slowest, needed)}


def _travel(run_time_s: float, slowest_s: float, needed_s: float) -> str:
    if run_time_s < slowest_s:
        return "longer"
    if run_time_s < needed_s * (1 - 1e-9):
        return "thin"
    return "excessive" if run_time_s > slowest_s * EXCESSIVE_RUN_TIMES else "ok"
