"""Look at controllers, outputs and links of a virtual site and say what is seen."""

from __future__ import annotations

from collections.abc import Mapping

from diag.virtual.panel import (
    earth_shown,
    found_by_discovery,
    lamp,
    line_faults,
    link_state,
)
from diag.virtual.powered import is_commanded, powered, zones_of_output
from diag.virtual.site import VirtualSite
from diag.virtual_checks.found import Found, Perform


def _lamps(site: VirtualSite, controller: str) -> Found:
    return lamp(site, controller)


def _breaker(site: VirtualSite, controller: str) -> Found:
    it = site.fitted.controllers[controller]
    if it.isolator_on:
        return "on"
    return "tripped-again" if it.breaker_trips_again else "off"


def _separation(site: VirtualSite, output: str) -> Found:
    return "bare-parallel" if site.fitted.outputs[output].back_feeds else "separated"


def _clock(site: VirtualSite, controller: str) -> Found:
    off = site.fitted.controllers[controller].clock_off_minutes
    if not off:
        return "right"
    return "hour-off" if off == 60 else "wrong"


def _count(site: VirtualSite, output: str) -> Found:
    found = found_by_discovery(site, output)
    fitted = len([it for it in site.topology.consumers_of_output(output) if it in site.fitted.drives])
    expected = site.fitted.outputs[output].expected
    expected = fitted if expected is None else expected
    if found == 0 < expected:
        return "none"
    return "fewer" if found < expected else "more" if found > expected else "equal"


def _data_line(site: VirtualSite, output: str) -> Found:
    return site.fitted.outputs[output].data_length


def _end_of_line(site: VirtualSite, output: str) -> Found:
    found = site.fitted.outputs[output].end_of_line
    return "fitted-right" if found == "right" else found


def _log(site: VirtualSite, controller: str) -> Found:
    """Return what a log with time stamps would show of the time it happened."""
    it = site.fitted.controllers[controller]
    if not it.isolator_on or not it.fuse_whole or it.unit_voltage_share < 0.9 or it.mains_lead != "sound":
        return "supply-entries"
    outputs = site.topology.outputs_of_controller(controller)
    if any(powered(site, output).state.tripped for output in outputs):
        return "overcurrent-entries"
    if line_faults(site, controller) or earth_shown(site, controller):
        return "line-entries"
    return "supply-entries" if it.has_battery and (it.battery_charge < 0.3 or not it.battery_linked) else "nothing"


def _last_source(site: VirtualSite, zone: str) -> Found:
    standing = site.commands.standing(zone)
    if standing is None:
        stuck = any(site.stuck_side(it) for it in site.topology.inputs_of_zone(zone) if it in site.fitted.inputs)
        return "manual" if stuck or site.dice.random() < 0.3 else "automatic"
    names = {"smoke": "smoke", "wind": "weather", "rain": "weather", "manual": "manual", "link": "schedule-or-link"}
    return names.get(standing.command, "automatic" if standing.command == "automatic" else "none-shown")


def _link_plug(site: VirtualSite, link: str) -> Found:
    return "plugged" if site.fitted.links[link].plugged else "loose-or-out"


def _link_lamps(site: VirtualSite, link: str) -> Found:
    return link_state(site, link)


def _mains_terminals(site: VirtualSite, controller: str) -> Found:
    found = site.fitted.controllers[controller].mains_lead
    return "tight-right" if found == "sound" else found


def _output_lamp(site: VirtualSite, output: str) -> Found:
    it = site.fitted.outputs[output]
    if it.stuck and not it.lamp_follows:
        return "on-unasked"
    zones = zones_of_output(site, output)
    controller = site.topology.site.outputs[output].controller
    deaf = controller and site.fitted.controllers[controller].board == "deaf"
    commanded = any(is_commanded(site, zone) for zone in zones) and not deaf
    return "follows" if commanded and it.enabled and it.lamp_follows else "dark"


def _panel_inside(site: VirtualSite, controller: str) -> Found:
    return site.fitted.controllers[controller].inside


def _schedule(site: VirtualSite, zone: str) -> Found:
    return site.fitted.zones[zone].programme


def _terminals_output(site: VirtualSite, output: str) -> Found:
    it = site.fitted.outputs[output]
    return "swapped" if it.crossed_with else it.terminals


def _battery_date(site: VirtualSite, controller: str) -> Found:
    return "old" if site.fitted.controllers[controller].battery_is_old else "young"


AT_PANEL: Mapping[str, Perform] = {
    "look-panel-lamps": _lamps,
    "look-breaker": _breaker,
    "look-drive-separation": _separation,
    "look-clock": _clock,
    "look-count-found": _count,
    "look-data-line": _data_line,
    "look-end-of-line": _end_of_line,
    "look-fault-log": _log,
    "look-last-command-source": _last_source,
    "look-link-plug": _link_plug,
    "look-link-lamps": _link_lamps,
    "look-mains-terminals": _mains_terminals,
    "look-output-lamp": _output_lamp,
    "look-panel-inside": _panel_inside,
    "look-schedule": _schedule,
    "look-terminals-output": _terminals_output,
    "look-battery-date": _battery_date,
}
"""For each look at the panel: what is seen."""
