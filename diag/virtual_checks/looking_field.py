"""Look at openings, drives, cables, boxes and fans of a virtual site and say what is seen."""

from __future__ import annotations

from collections.abc import Mapping

from diag.virtual.noticing_drives import GAP_MM
from diag.virtual.panel import (
    fan_state,
    interlock_closed,
)
from diag.virtual.positions import position_agrees
from diag.virtual.powered import is_commanded, zones_of_drive
from diag.virtual.site import VirtualSite
from diag.virtual_checks.found import Found, Perform

STIFF = 0.3
"""From this drag on a hand or an eye notices it."""


def _opening_free(site: VirtualSite, opening: str) -> Found:
    it = site.fitted.openings[opening]
    if it.blocked_at is not None:
        return "obstructed"
    return "frozen-or-stuck" if it.stuck_closed != "no" else "clear"


def _bracket(site: VirtualSite, opening: str) -> Found:
    return "loose-or-bent" if site.fitted.openings[opening].bracket_loose else "firm"


def _frame(site: VirtualSite, opening: str) -> Found:
    return "distorted" if site.fitted.openings[opening].frame_drag > STIFF else "square"


def _hinges(site: VirtualSite, opening: str) -> Found:
    return "stiff-or-corroded" if site.fitted.openings[opening].hinge_drag > 0.5 * STIFF else "free"


def _lock(site: VirtualSite, opening: str) -> Found:
    return site.fitted.openings[opening].lock


def _seal(site: VirtualSite, opening: str) -> Found:
    it = site.fitted.openings[opening]
    if it.stuck_closed != "no":
        return "stuck-or-painted"
    return "flat-or-torn" if it.seal_flat else "sound"


def _gap(site: VirtualSite, opening: str) -> Found:
    it = site.fitted.openings[opening]
    drives = [drive for drive in site.topology.drives_of_opening(opening) if drive in site.fitted.drives]
    left = []
    for drive in drives:
        site.mover.positions[drive] = 0.3 * site.driving.stroke(drive)
        run = site.run_alone(drive, -1)
        left += [run.position_mm] if run.moved_mm else []  # what does not move was closed before it failed
    site.close_all()
    if it.frame_drag > 0.4 or it.bracket_loose or (left and max(left) - min(left) > GAP_MM):
        return "one-side"
    lost = any(site.fitted.drives[drive].reference_off_mm for drive in drives)
    return "all-round" if lost or (left and min(left) > GAP_MM) else "even"


def _snow(site: VirtualSite, opening: str) -> Found:
    if site.fitted.openings[opening].load <= 0.2:
        return "none"
    return "snow" if site.around.snow else "strong-wind"


def _drive_kind(site: VirtualSite, drive: str) -> Found:
    it = site.fitted.drives[drive]
    if it.other_voltage:
        return "other-voltage"
    meant = bool(site.topology.site.drives[drive].addressable)
    return "other-kind" if meant and not it.addressable else "fits"


def _temperature(site: VirtualSite, drive: str) -> Found:
    """Return whether a drive is hot: cut out, or fed on and on with nothing to end its run."""
    it, output = site.fitted.drives[drive], site.fitted.outputs[site.driving.output(drive)]
    return "hot" if it.is_hot or output.back_feeds or not it.end_switch else "cool"


def _drives_in_step(site: VirtualSite, opening: str) -> Found:
    zones = site.topology.zones_of_opening(opening)
    if not zones:
        return "not-sure"
    site.close_all()
    runs = site.command_at_panel(zones[0], "open").runs
    site.commands.by_hand.clear()
    site.close_all()
    drives = site.topology.drives_of_opening(opening)
    moved = [runs[it].moved_mm if it in runs else 0.0 for it in drives]
    if any(abs(it) < 3 for it in moved) and any(abs(it) > 3 for it in moved):
        return "one-still"
    return "one-lags" if max(moved) - min(moved) > 15 else "together"


def _cable_damage(site: VirtualSite, cable: str) -> Found:
    return "damaged" if site.fitted.cables[cable].damage_shows else "sound"


def _cable_size(site: VirtualSite, cable: str) -> Found:
    return "too-thin" if site.fitted.cables[cable].area_share < 0.7 else "fits"


def _blade(site: VirtualSite, opening: str) -> Found:
    return "stuck" if site.fitted.openings[opening].blades_stuck else "free"


def _shaft(site: VirtualSite, drive: str) -> Found:
    run = site.run_alone(drive)
    site.close_all()
    if abs(run.moved_mm) < 3 or not any(is_commanded(site, it) for it in zones_of_drive(site, drive)):
        return "nothing-turns"
    return "drive-turns-shaft-still" if site.fitted.drives[drive].shaft_slips else "shaft-follows"


def _belt(site: VirtualSite, fan: str) -> Found:
    return site.fitted.fans[fan].belt


def _junction(site: VirtualSite, junction: str) -> Found:
    it = site.fitted.junctions[junction]
    if it.leak_ohm:
        return "wet"
    return "loose" if it.looks_loose else "dry-tight"


def _position(site: VirtualSite, drive: str) -> Found:
    return "agrees" if position_agrees(site, drive) else "disagrees"


def _terminals_drive(site: VirtualSite, drive: str) -> Found:
    return site.fitted.drives[drive].terminals


def _addressable(site: VirtualSite, drive: str) -> Found:
    return "addressable" if site.fitted.drives[drive].addressable else "not-addressable"


def _screens(site: VirtualSite, zone: str) -> Found:
    return site.fitted.zones[zone].screen


def _overload(site: VirtualSite, fan: str) -> Found:
    return site.fitted.fans[fan].overload


def _fan_display(site: VirtualSite, fan: str) -> Found:
    return site.fitted.fans[fan].speed_controller


def _interlock(site: VirtualSite, fan: str) -> Found:
    closed = interlock_closed(site, fan)
    site.close_all()
    return "closed" if closed else "open"


def _fan_direct(site: VirtualSite, fan: str) -> Found:
    state = fan_state(site, fan, demanded=True, direct=True)
    return {"still": "nothing", "hums": "hums", "wrong-way": "wrong-way"}.get(state, "runs")


IN_FIELD: Mapping[str, Perform] = {
    "look-opening-free": _opening_free,
    "look-bracket": _bracket,
    "look-frame": _frame,
    "look-insect-screen": _screens,
    "look-hinges": _hinges,
    "look-lock": _lock,
    "look-seal": _seal,
    "look-gap": _gap,
    "look-snow-wind-load": _snow,
    "look-drive-kind": _drive_kind,
    "look-drive-temperature": _temperature,
    "look-drives-in-step": _drives_in_step,
    "look-cable-damage": _cable_damage,
    "look-cable-size": _cable_size,
    "look-damper-blade": _blade,
    "look-damper-shaft": _shaft,
    "look-fan-belt": _belt,
    "look-junction-box": _junction,
    "look-position-shown": _position,
    "look-terminals-drive": _terminals_drive,
    "look-addressable-mark": _addressable,
    "read-overload": _overload,
    "read-fan-drive-display": _fan_display,
    "read-interlock": _interlock,
    "try-fan-direct": _fan_direct,
}
"""For each look in the field: what is seen."""
