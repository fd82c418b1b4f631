"""Measure cores, lines and fuses of a virtual site with the power off."""

from __future__ import annotations

from collections.abc import Mapping

from diag.virtual.electrics import cables_below, core_ohm
from diag.virtual.panel import drive_line
from diag.virtual.site import VirtualSite
from diag.virtual_checks.found import Found, Perform

OPEN_OHM = 5e6


def _fuse_supply(site: VirtualSite, controller: str) -> Found:
    return 0.2 if site.fitted.controllers[controller].fuse_whole else OPEN_OHM


def _fuse_output(site: VirtualSite, output: str) -> Found:
    return 0.2 if site.fitted.outputs[output].fuse_whole else OPEN_OHM


def _battery_link(site: VirtualSite, controller: str) -> Found:
    return 0.3 if site.fitted.controllers[controller].battery_linked else OPEN_OHM


def _core(site: VirtualSite, cable: str) -> Found:
    it = site.fitted.cables[cable]
    if it.out_open or it.data_open:
        return OPEN_OHM
    return core_ohm(site.topology, site.fitted, cable) + it.added_ohm


def _between(site: VirtualSite, cable: str) -> Found:
    it = site.fitted.cables[cable]
    box = site.fitted.junctions.get(site.topology.site.cables[cable].from_ or "")
    if it.short_ohm:
        return it.short_ohm
    return 200e3 if box and box.leak_ohm and box.leak_ohm < 12 else 50e6


def _insulation(site: VirtualSite, cable: str) -> Found:
    return site.fitted.cables[cable].earth_mohm


def _line(site: VirtualSite, output: str) -> Found:
    cables = cables_below(site.topology, output)
    if any(site.fitted.cables[it].short_ohm for it in cables):
        return 0.4
    trunk = [it for it in cables if site.topology.site.cables[it].from_ == output]
    if trunk and all(site.fitted.cables[it].out_open for it in trunk):
        return 20e6
    return 40.0


LINE_OHMS = {"normal": 1.0, "half": 0.5, "other-value": 0.3}


def _end_of_line(site: VirtualSite, output: str) -> Found:
    found = drive_line(site, output)
    value = site.topology.site.outputs[output].end_of_line_ohm or 10000.0
    if found in ("open", "short"):
        return 20e6 if found == "open" else 2.0
    return value * LINE_OHMS[found]


def _detector_line(site: VirtualSite, part: str) -> Found:
    it, described = site.fitted.inputs[part], site.topology.site.inputs[part]
    value, alarm = described.end_of_line_ohm or 10000.0, described.alarm_resistor_ohm or 1000.0
    if it.wire_short:
        return 3.0
    if it.wire_open or it.end_of_line == "missing" or it.head == "missing":
        return 20e6
    if it.operated or (it.head == "dirty" and site.luck(part) < 0.6):
        return 1.0 / (1.0 / alarm + 1.0 / value)
    return 0.3 * value if it.end_of_line == "other-value" else value


def _input_line(site: VirtualSite, part: str) -> Found:
    it = site.fitted.inputs[part]
    if it.wire_open or it.common_open:
        return "open"
    return "short" if it.wire_short else "normal"


def _switch_contact(site: VirtualSite, part: str) -> Found:
    it = site.fitted.inputs[part]
    if it.swapped and it.terminals != "swapped":
        return "swapped"  # the insert of the button, not its cores
    return it.contact if it.contact != "sound" else "follows"


def _link_pair(site: VirtualSite, link: str) -> Found:
    it = site.fitted.links[link]
    if it.cable_open or not it.plugged:
        return 118.0
    return {1: 119.0, 2: 61.0, 3: 41.0}[it.end_resistors]


def _link_cable(site: VirtualSite, link: str) -> Found:
    return "open" if site.fitted.links[link].cable_open else "whole"


LINES: Mapping[str, Perform] = {
    "ohms-fuse-supply": _fuse_supply,
    "ohms-fuse-output": _fuse_output,
    "ohms-battery-link": _battery_link,
    "ohms-core": _core,
    "ohms-between-cores": _between,
    "insulation-earth": _insulation,
    "ohms-line": _line,
    "ohms-end-of-line": _end_of_line,
    "ohms-detector-line": _detector_line,
    "ohms-input-line": _input_line,
    "ohms-switch-contact": _switch_contact,
    "ohms-link-pair": _link_pair,
    "ohms-link-cable": _link_cable,
}
"""For each resistance: what the meter shows, or the outcome itself."""
