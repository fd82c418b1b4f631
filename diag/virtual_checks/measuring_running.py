"""Measure a virtual site while its drives run: volts, amperes and seconds."""

from __future__ import annotations

from collections.abc import Mapping

from diag.virtual.electrics import data_reaches, data_upset
from diag.virtual.panel import smoke_test, smoke_zones
from diag.virtual.powered import field_volts, powered
from diag.virtual.site import VirtualSite
from diag.virtual_checks.found import Found, Perform

STRAY_V = 0.3
"""What is left of the weak data line of a controller that a drive's supply input loads; judgement."""


def _volts_drive(site: VirtualSite, drive: str) -> Found:
    lead = next((it for it in site.topology.supply_path(drive) if it in site.fitted.cables), None)
    if lead and site.fitted.cables[lead].data_swapped:
        return STRAY_V  # the data core sits on the supply terminal
    return field_volts(site, site.driving.output(drive), drive)


def _volts_junction(site: VirtualSite, junction: str) -> Found:
    fed = [it for it in site.topology.fed_through(junction) if it in site.fitted.drives]
    return field_volts(site, site.driving.output(fed[0]), junction) if fed else "not-sure"


def _across_joint(site: VirtualSite, junction: str) -> Found:
    """Return the millivolts from one side of the joints in a box to the other, with the drives beyond running."""
    fed = [it for it in site.topology.fed_through(junction) if it in site.fitted.drives]
    if not fed:
        return "not-sure"
    state = powered(site, site.driving.output(fed[0]))
    cables = [it for it, cable in site.topology.site.cables.items() if junction in (cable.from_, cable.to)]
    added = max((site.fitted.cables[it].added_ohm for it in cables), default=0.0)
    current = sum(amps for it, amps in state.drawn_a.items() if it in fed)
    return 1000.0 * current * (added + 0.01) if state.state.current_a or not added else 1000.0 * 0.3 * added


def _volts_output(site: VirtualSite, output: str) -> Found:
    it = powered(site, output)
    if site.fitted.outputs[output].crossed_with:
        return site.feed.volts_at_stage(output, 0.0)
    swapped_switch = any(
        site.fitted.inputs[part].swapped != (site.fitted.inputs[part].function == "inverted")
        for zone in site.fitted.zones
        for part in site.topology.inputs_of_zone(zone)
        if output in site.outputs_of(zone) and site.topology.site.inputs[part].kind == "switch"
    )
    volts = it.volts(output)
    reverses = site.topology.site.outputs[output].kind == "reversing-24v"
    return -volts if swapped_switch and reverses else volts


def _unloaded(site: VirtualSite, output: str) -> Found:
    return powered(site, output, loaded=False).volts(output)


def _idle(site: VirtualSite, output: str) -> Found:
    condition = site.fitted.outputs[output]
    if condition.stuck or condition.back_feeds:
        return site.feed.volts_at_stage(output, 0.0)
    return 0.0


def _volts_data(site: VirtualSite, drive: str) -> Found:
    output = site.driving.output(drive)
    condition = site.fitted.outputs[output]
    paths = [it for it in site.topology.supply_path(drive) if it in site.fitted.cables]
    if any(site.fitted.cables[it].data_swapped for it in paths):
        return site.feed.volts_at_stage(output, 0.0)
    live = site.feed.volts_at_stage(output, 0.0) > 0 and condition.kind_fits
    whole = data_reaches(site.topology, site.fitted, drive) and condition.terminals != "wrong-terminal"
    return 5.0 if live and whole and not data_upset(site.topology, site.fitted, output) else 0.0


def _current_drive(site: VirtualSite, drive: str) -> Found:
    state = powered(site, site.driving.output(drive))
    if state.state.tripped or abs(state.volts(drive)) < 12:
        return 0.0
    run = site.run_alone(drive) if state.commanded else None
    site.close_all()
    if run is None or run.stop in ("no-data", "dead", "no-voltage"):
        return 0.02 if state.commanded else 0.0
    running = site.topology.site.drives[drive].running_current_a or 1.0
    if run.past_end or site.fitted.drives[drive].motor == "weak":
        return 1.8 * running
    return max(run.current_a, state.drawn_a.get(drive, 0.0))


def _current_output(site: VirtualSite, output: str) -> Found:
    state = powered(site, output)
    return "trips" if state.state.tripped else state.state.current_a


def _force(site: VirtualSite, opening: str) -> Found:
    it = site.fitted.openings[opening]
    heavy = it.hinge_drag > 0.35 or it.frame_drag > 0.6 or it.load > 0.6
    return "heavy" if heavy or it.stuck_closed != "no" or it.lock == "engaged" or it.blades_stuck else "light"


def _smoke_time(site: VirtualSite, zone: str) -> Found:
    if zone not in smoke_zones(site):
        return "not-sure"
    site.close_all()
    response = smoke_test(site, zone)
    site.close_all()
    drives = site.drives_of(zone)
    opened = [it for it in drives if it in response.moved]
    if not opened:
        return "nothing"
    if len(opened) < len(drives) or any(response.runs[it].stop != "end" for it in opened):
        return "partly"
    return max(response.runs[it].seconds for it in opened)


def _travel(site: VirtualSite, drive: str) -> Found:
    run = site.run_alone(drive)
    site.close_all()
    return run.seconds if abs(run.moved_mm) > 3 else "not-sure"


RUNNING: Mapping[str, Perform] = {
    "volts-drive": _volts_drive,
    "volts-junction": _volts_junction,
    "volts-across-joint": _across_joint,
    "volts-output": _volts_output,
    "volts-output-unloaded": _unloaded,
    "volts-output-idle": _idle,
    "volts-data-core": _volts_data,
    "current-drive": _current_drive,
    "current-output": _current_output,
    "force-hand": _force,
    "try-test-smoke": _smoke_time,
    "time-full-travel": _travel,
}
"""For each reading under way: what the meter shows, or the outcome itself."""
