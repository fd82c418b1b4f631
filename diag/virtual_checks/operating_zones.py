"""Operate the zones of a virtual site for a check and say what they do."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta

from diag.virtual.noticing_drives import SHORT_SHARE, design_end_mm, design_time_s
from diag.virtual.noticing_functions import hot_room
from diag.virtual.panel import link_command
from diag.virtual.runs import DriveRun
from diag.virtual.sensing import demand
from diag.virtual.site import VirtualSite
from diag.virtual_checks.found import Found, Perform
from diag.virtual_checks.trials import SEEN_MM, fresh, from_switch

DEMANDING = ("thermostat", "temperature", "co2")
LOWEST_C, LOWEST_PPM = 15.0, 500.0
"""The lowest set points that can be set; common practice, no source."""


def open_and_close(site: VirtualSite, zone: str) -> tuple[list[str], list[str]]:
    """Return how the zone's own drives stopped when opened and when closed from its switch."""
    own = {
        it
        for opening in site.topology.site.zones[zone].openings or ()
        for it in site.topology.drives_of_opening(opening)
    }
    opened = from_switch(site, zone, "open", 0.0).runs
    closed = from_switch(site, zone, "close", 1.0).runs
    return (
        [_quality(site, it, run) for it, run in opened.items() if it in own],
        [_quality(site, it, run) for it, run in closed.items() if it in own],
    )


def _quality(site: VirtualSite, drive: str, run: DriveRun) -> str:
    if run.wish > 0 and run.position_mm < SHORT_SHARE * design_end_mm(site, drive):
        return "short"
    return "backwards" if run.moved_mm * run.wish < -SEEN_MM else run.stop


def _directions(site: VirtualSite, zone: str) -> Found:
    opened, closed = from_switch(site, zone, "open", 0.5), from_switch(site, zone, "close", 0.5)
    own = set(site.drives_of(zone))
    up = [opened.runs[it].moved_mm for it in opened.moved if it in own]
    down = [closed.runs[it].moved_mm for it in closed.moved if it in own]
    if not up and not down:
        return "nothing"
    if (up and max(up) < 0) or (down and min(down) > 0):
        return "reversed" if up and down else "one-way-only"
    return "right" if up and down else "one-way-only"


def _at_panel(site: VirtualSite, zone: str) -> Found:
    with fresh(site, 0.5):
        opened = site.command_at_panel(zone, "open").moved
    with fresh(site, 0.5):
        closed = site.command_at_panel(zone, "close").moved
    own = set(site.drives_of(zone))
    opens, closes = own & set(opened), own & set(closed)
    if not opens and not closes:
        return "nothing"
    return "moves" if opens and closes else "one-way-only"


def _automatic(site: VirtualSite, zone: str) -> Found:
    """Set the set point so that the room calls for opening, and see whether the zone moves by itself."""
    asking = sorted(it for it in site.fitted.inputs if site.topology.site.inputs[it].kind in DEMANDING)
    if not any(zone in (site.topology.site.inputs[it].zones or ()) for it in asking):
        return "not-sure"
    if not any(zone in site.fitted.inputs[it].zones and can_call(site, it) for it in asking):
        return "nothing"
    with fresh(site):
        response = site.automatic(zone)
    if response.moved:
        return "obeys"
    shows_why = response.refused_by is not None and response.refused_by.command != "disabled"
    return "refused" if shows_why else "nothing"


def can_call(site: VirtualSite, part: str) -> bool:
    """Return whether some set point makes a sensor or thermostat call for opening."""
    lowest = LOWEST_PPM if site.topology.site.inputs[part].kind == "co2" else LOWEST_C
    it, was = site.fitted.inputs[part], site.fitted.inputs[part].set_point
    it.set_point = lowest
    calls = demand(site.topology, site.fitted, site.around, part)
    it.set_point = was
    return calls


def _other_zone(site: VirtualSite, zone: str) -> Found:
    response = from_switch(site, zone, "open", 0.3)
    own = {
        it
        for opening in site.topology.site.zones[zone].openings or ()
        for it in site.topology.drives_of_opening(opening)
    }
    stuck = {it for it in site.fitted.drives if site.fitted.outputs[site.driving.output(it)].stuck}
    others = set(response.moved) - own - stuck
    if not others:
        return "own-only"
    return "own-and-other" if own & set(response.moved) else "other-moves"


def _wait(site: VirtualSite, zone: str) -> Found:
    """Wait for the hold-off that is meant here to be over, then see whether a demand moves the zone."""
    meant = timedelta(minutes=site.topology.site.zones[zone].hold_off_minutes or 0.0)
    site.around.at += meant
    with hot_room(site), fresh(site):
        moved = site.automatic(zone).moved
    site.around.at -= meant
    return "resumes" if moved else "still-ignored"


def _speeds(site: VirtualSite, zone: str) -> Found:
    drives = site.drives_of(zone)
    if not drives:
        return "not-sure"
    with fresh(site):
        hand = site.run_alone(drives[0])
    with fresh(site):
        automatic = site.run_alone(drives[0], 1, "automatic")
    if hand.moved_mm > SEEN_MM and hand.seconds > 1.25 * design_time_s(site, drives[0], hand.moved_mm):
        return "slow-both"
    return "automatic-slower" if automatic.seconds > 1.3 * hand.seconds else "same"


def _link(site: VirtualSite, link: str) -> Found:
    zones = site.topology.site.links[link].zones or []
    if not zones:
        return "not-sure"
    with fresh(site):
        return link_command(site, link, zones[0])


ZONES: Mapping[str, Perform] = {
    "try-switch-directions": _directions,
    "try-command-at-panel": _at_panel,
    "try-automatic": _automatic,
    "try-other-zone-switch": _other_zone,
    "try-wait-hold-off": _wait,
    "compare-speeds": _speeds,
    "try-link-command": _link,
}
"""For each trial with a zone or its link: what it does."""
