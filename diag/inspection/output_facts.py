"""What an inspector compares at an output: its load, its protection, its run time and what hangs on it."""

from __future__ import annotations

from collections.abc import Sequence

from diag.calculators.preferred_values import is_preferred
from diag.calculators.travel import Travel, run_time_needed_s
from diag.inspection.view import View, Words, against, some_none, yes_no
from diag.inspection.wiring_facts import CARRIES_A
from diag.site import Drive, Output

EXCESSIVE_RUN_TIMES = 4.0
UNPROTECTED_TIMES = 2.0
"""A fuse of more than this many times what a cable may carry does not protect it: judgement."""


def output_words(view: View, part: str) -> Words:
    """Return the words and figures of one output."""
    it = view.site.outputs[part]
    drives, fans = view.drives_on(part), view.fans_on(part)
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
        "consumers": some_none([*drives, *fans], known),
        "fitted_drives": float(len(drives)),
        "count": _count(view, it, len(drives)),
        "mixed": _mixed(view, drives),
        "smoke": _smoke(view, drives),
        "zones": _zones(view, part),
        **_load_words(view, it, [*drives, *fans]),
        **_travel_words(view, it, drives),
        **_supply_words(view, it),
        **_cable_words(view, it, drives),
    }


def _preferred(resistance_ohm: float) -> str:
    return "preferred" if is_preferred(resistance_ohm) else "odd"


def _count(view: View, it: Output, fitted: int) -> str | None:
    if it.expected_drives is None or not view.complete("drives", "output"):
        return None
    return "equal" if it.expected_drives == fitted else "differs"


def _mixed(view: View, drives: Sequence[str]) -> str | None:
    """Drives for different voltages, or with and without a data core, do not belong on one output."""
    members = [view.site.drives[drive] for drive in drives]
    volts = {it.supply_voltage_v for it in members} - {None}
    cores = {it.addressable for it in members} - {None}
    return yes_no(len(volts) > 1 or len(cores) > 1)


def _smoke(view: View, drives: Sequence[str]) -> str | None:
    """Return whether all, some or none of the drives move smoke openings."""
    openings = [view.site.drives[drive].opening for drive in drives]
    claims = [view.site.openings[opening].smoke if opening else None for opening in openings]
    if not claims or None in claims:
        return None
    return "all" if all(claims) else "some" if any(claims) else "none"


def _zones(view: View, part: str) -> str | None:
    openings = {view.site.drives[drive].opening for drive in view.drives_on(part)} - {None}
    zones = {zone for opening in openings if opening for zone in view.topology.zones_of_opening(opening)}
    return None if not zones else "one" if len(zones) == 1 else "several"


def _load_words(view: View, it: Output, consumers: list[str]) -> Words:
    drawn = view.currents_a(consumers)
    starting = view.currents_a([one for one in consumers if one in view.site.drives], "starting_current_a")
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


def _cable_words(view: View, it: Output, drives: Sequence[str]) -> Words:
    """Compare the fuse with the thinnest cable behind it; unknown when one area is."""
    if it.fuse_a is None:
        return {}
    cables = {part for drive in drives for part in view.topology.supply_path(drive) if part in view.site.cables}
    carries = {part: CARRIES_A.get(view.site.cables[part].area_mm2 or 0.0) for part in cables}
    known = {part: amperes for part, amperes in carries.items() if amperes is not None}
    if not known or len(known) < len(carries):
        return {}
    thinnest = min(sorted(known), key=known.__getitem__)
    fuse = against(it.fuse_a, known[thinnest] * UNPROTECTED_TIMES, "above")
    return {"thinnest": thinnest, "thinnest_a": known[thinnest], "fuse_cable": fuse}


def _travel_words(view: View, it: Output, drives: Sequence[str]) -> Words:
    times = [found for drive in drives if (found := slowest_travel_s(view.site.drives[drive])) is not None]
    if not times or it.run_time_s is None:
        return {}
    slowest = max(times)
    needed = run_time_needed_s(Travel(slowest, 1.0))
    return {"travel_s": slowest, "travel": _travel(it.run_time_s, slowest, needed)}


def _travel(run_time_s: float, slowest_s: float, needed_s: float) -> str:
    if run_time_s < slowest_s:
        return "longer"
    if run_time_s < needed_s * (1 - 1e-9):
        return "thin"
    return "excessive" if run_time_s > slowest_s * EXCESSIVE_RUN_TIMES else "ok"


def slowest_travel_s(it: Drive) -> float | None:
    """Return the seconds of a full travel at the slowest speed given, or None."""
    speeds = [speed for speed in (it.manual_speed_mm_s, it.automatic_speed_mm_s, it.smoke_speed_mm_s) if speed]
    if it.stroke_mm and speeds:
        return it.stroke_mm / min(speeds)
    return it.full_travel_s
