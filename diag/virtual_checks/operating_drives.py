"""Run the drives of a virtual site for a check and say what they do."""

from __future__ import annotations

from collections.abc import Mapping

from diag.virtual.noticing_drives import SHORT_SHARE, design_end_mm
from diag.virtual.panel import answers_discovery
from diag.virtual.powered import zones_of_drive
from diag.virtual.runs import Wish
from diag.virtual.site import WATCH_S, Response, VirtualSite
from diag.virtual_checks.found import Found, Perform
from diag.virtual_checks.trials import SEEN_MM, fresh, from_switch

NOT_STARTED = ("no-data", "no-voltage", "dead", "trip", "hum")
"""How a run ends that a controller breaks off before it began."""


def _behaviour(site: VirtualSite, drive: str) -> Found:
    zones = zones_of_drive(site, drive)
    if not zones:
        return "silent"
    found = [
        _one_behaviour(site, drive, from_switch(site, zones[0], "open", 0.0)),
        _one_behaviour(site, drive, from_switch(site, zones[0], "close", 1.0)),
    ]
    order = ("hums-no-travel", "short-move-then-stop", "moves-part-way", "silent", "moves")
    if set(found) == {"silent", "moves"}:
        return "moves"
    return next(it for it in order if it in found)


def _one_behaviour(site: VirtualSite, drive: str, response: Response) -> str:
    run = response.runs.get(drive)
    if run is None or run.stop in ("no-data", "dead"):
        return "silent"
    if run.stop == "hum":
        return "hums-no-travel"
    whole = design_end_mm(site, drive) if run.wish > 0 else run.start_mm
    share = abs(run.moved_mm) / max(whole, 1.0)
    if abs(run.moved_mm) <= SEEN_MM:
        return "short-move-then-stop" if run.stop in ("cut-out", "trip", "twist") else "silent"
    if share < 0.3:
        return "short-move-then-stop"
    return "moves" if share >= SHORT_SHARE else "moves-part-way"


def _neighbours(site: VirtualSite, drive: str) -> Found:
    output = site.driving.output(drive)
    others = [it for it in site.topology.consumers_of_output(output) if it != drive and it in site.fitted.drives]
    if not others:
        return "not-sure"
    zones = {zone for it in others for zone in zones_of_drive(site, it)}
    with fresh(site, 0.5):
        moved = {it for zone in sorted(zones) for it in site.command_at_panel(zone, "open").moved}
    return "neighbours-move" if moved & set(others) else "neighbours-still"


def _reference_run(site: VirtualSite, drive: str) -> Found:
    opening = site.topology.site.drives[drive].opening
    together = site.topology.drives_of_opening(opening) if opening else (drive,)
    lost = any(site.fitted.drives[it].reference_off_mm or site.fitted.drives[it].lags for it in together)
    with fresh(site, 0.3):
        runs = site.mover.run({it: Wish(-1) for it in together}, WATCH_S)
    if any(runs[it].stop in NOT_STARTED for it in together):
        return "refused"
    return "cured" if lost else "no-change"


def _discovery_single(site: VirtualSite, drive: str) -> Found:
    output = site.driving.output(drive)
    it = site.fitted.outputs[output]
    live = site.feed.volts_at_stage(output, 0.0) > 0 and it.kind_fits and it.terminals != "wrong-terminal"
    return "found" if live and answers_discovery(site, drive) else "not-found"


def _alone_reversed(site: VirtualSite, drive: str) -> Found:
    with fresh(site, 0.5):
        run = site.run_alone(drive)
    return "reversed" if run.moved_mm < -SEEN_MM else "right"


def _stroke(site: VirtualSite, drive: str) -> Found:
    with fresh(site):
        run = site.run_alone(drive)
    if run.past_end:
        return "past-end"
    return "full" if run.moved_mm >= SHORT_SHARE * design_end_mm(site, drive) else "short"


def _close_watch(site: VirtualSite, opening: str) -> Found:
    zones = site.topology.zones_of_opening(opening)
    drives = site.topology.drives_of_opening(opening)
    if not zones or not drives:
        return "not-sure"
    with fresh(site, 1.0):
        runs = site.command_at_panel(zones[0], "close").runs
    own = [runs[it] for it in drives if it in runs]
    if all(abs(run.moved_mm) <= SEEN_MM for run in own):
        return "not-sure"
    if any(run.backed_off and abs(run.moved_mm) > SEEN_MM for run in own):
        return "backs-off"
    return "closes" if own and all(run.position_mm < 4.0 for run in own) else "stops-short"


DRIVES: Mapping[str, Perform] = {
    "look-drive-behaviour": _behaviour,
    "try-neighbours": _neighbours,
    "try-reference-run": _reference_run,
    "try-discovery-single": _discovery_single,
    "try-drive-alone-reversed": _alone_reversed,
    "try-drive-stroke": _stroke,
    "try-close-watch": _close_watch,
}
"""For each trial with a drive: what it does."""
