"""What an inspector compares at an output: its load, its protection, its run time and what hangs on it."""

from __future__ import annotations

from collections.abc import Sequence

from diag.calculators.preferred_values import is_preferred
from diag.calculators.travel import Travel, run_time_needed_s
from diag.inspection.consumers import Consumer
from diag.inspection.view import View, Words, against, some_none, sum_known, yes_no
from diag.inspection.wiring_facts import CARRIES_A
from diag.site import Output

EXCESSIVE_RUN_TIMES = 4.0
UNPROTECTED_TIMES = 2.0
"""A fuse of more than this many times what a cable may carry does not protect it: judgement."""


def output_words(view: View, part: str) -> Words:
    """Return the words and figures of one output."""
    it = view.site.outputs[part]
    consumers = [view.consumers[one] for one in view.topology.consumers_of_output(part)]
    drives = [one for one in consumers if one.is_drive]
    known = view.complete("drives", "output") and view.complete("fans", "output")
    return {
        "kind": it.kind,
        "controller": it.controller,
        "enabled": yes_no(it.enabled),
        "supervised": yes_no(it.supervised),
        "end_of_line_ohm": it.end_of_line_ohm,
        "end_of_line": None if it.end_of_line_ohm is None else _preferred(it.end_of_line_ohm),
        "rated_current_a": it.rated_current_a,
        "trip_current_a": it.trip_current_a,
        "fuse_a": it.fuse_a,
        "run_time_s": it.run_time_s,
        "expected_drives": None if it.expected_drives is None else float(it.expected_drives),
        "consumers": some_none(consumers, known),
        "fitted_drives": float(len(drives)),
        "count": _count(view, it, len(drives)),
        "mixed": _mixed(drives),
        **_opening_words(view, drives),
        **_load_words(it, consumers, drives),
        **_travel_words(it, drives),
        **_supply_words(view, it),
        **_cable_words(view, it, part),
    }


def _preferred(resistance_ohm: float) -> str:
    return "preferred" if is_preferred(resistance_ohm) else "odd"


def _count(view: View, it: Output, fitted: int) -> str | None:
    if it.expected_drives is None or not view.complete("drives", "output"):
        return None
    return "equal" if it.expected_drives == fitted else "differs"


def _mixed(drives: Sequence[Consumer]) -> str | None:
    """Drives for different voltages, or with and without a data core, do not belong on one output."""
    volts = {it.supply_voltage_v for it in drives} - {None}
    cores = {it.is_addressable for it in drives} - {None}
    return yes_no(len(volts) > 1 or len(cores) > 1)


def _opening_words(view: View, drives: Sequence[Consumer]) -> Words:
    """Say whether all, some or none of the drives move smoke openings, and whether they serve several zones."""
    openings = {it.opening for it in drives}
    claims = {view.site.openings[one].smoke if one else None for one in openings}
    zones = {zone for one in openings if one for zone in view.topology.zones_of_opening(one)}
    smoke = None
    if claims and None not in claims:
        smoke = "none" if True not in claims else "some" if False in claims else "all"
    return {"smoke": smoke, "zones": None if not zones else "one" if len(zones) == 1 else "several"}


def _load_words(it: Output, consumers: Sequence[Consumer], drives: Sequence[Consumer]) -> Words:
    drawn = sum_known([one.running_current_a for one in consumers])
    starting = sum_known([one.starting_current_a for one in drives])
    return {
        "drawn_a": drawn,
        "starting_a": starting,
        "loading": against(drawn, it.rated_current_a, "over"),
        "starting": against(starting, it.trip_current_a, "over"),
        "trip": against(drawn, it.trip_current_a, "under"),
        "trip_fuse": against(it.trip_current_a, it.fuse_a, "above"),
        "fuse": against(drawn, it.fuse_a, "under"),
    }


def _supply_words(view: View, it: Output) -> Words:
    supply = view.site.controllers[it.controller].supply if it.controller else None
    if supply is None or it.kind in (None, "three-core-230v", "fan-contact"):
        return {}
    rated = supply.rated_current_a
    return {"supply_rated_a": rated, "supply": against(it.rated_current_a, rated, "exceeded")}


def _cable_words(view: View, it: Output, part: str) -> Words:
    """Compare the fuse with the thinnest cable behind it; unknown when one area is."""
    if it.fuse_a is None:
        return {}
    drives = view.drives_on(part)
    cables = {part for drive in drives for part in view.topology.supply_path(drive) if part in view.site.cables}
    carries = {part: CARRIES_A.get(view.site.cables[part].area_mm2 or 0.0) for part in cables}
    known = {part: amperes for part, amperes in carries.items() if amperes is not None}
    if not known or len(known) < len(carries):
        return {}
    thinnest = min(sorted(known), key=known.__getitem__)
    fuse = against(it.fuse_a, known[thinnest] * UNPROTECTED_TIMES, "above")
    return {"thinnest": thinnest, "thinnest_a": known[thinnest], "fuse_cable": fuse}


def _travel_words(it: Output, drives: Sequence[Consumer]) -> Words:
    slowest = max((one.travel_s for one in drives if one.travel_s is not None), default=None)
    if slowest is None or it.run_time_s is None:
        return {}
    needed = run_time_needed_s(Travel(slowest, 1.0))
    return {"travel_s": slowest, "travel": _travel(it.run_time_s, slowest, needed)}


def _travel(run_time_s: float, slowest_s: float, needed_s: float) -> str:
    if run_time_s < slowest_s:
        return "longer"
    if run_time_s < needed_s * (1 - 1e-9):
        return "thin"
    return "excessive" if run_time_s > slowest_s * EXCESSIVE_RUN_TIMES else "ok"
