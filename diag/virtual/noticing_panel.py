"""What people notice at the controller: lamps, fuses, settings, links and discovery."""

from __future__ import annotations

from collections.abc import Iterator

from diag.virtual.complaint import Complaint
from diag.virtual.panel import (
    battery_shown,
    earth_shown,
    found_by_discovery,
    lamp,
    line_faults,
    link_state,
    smoke_held,
)
from diag.virtual.site import VirtualSite
from diag.virtual.supply import has_mains


def panel_complaints(site: VirtualSite) -> Iterator[Complaint]:
    """Yield what the controllers show, and what their outputs and links do."""
    for controller in site.topology.of_kind("controller"):
        yield from _of_controller(site, controller)
    for output in site.topology.of_kind("output"):
        yield from _of_output(site, output)
    for link in site.topology.of_kind("link"):
        yield from _of_link(site, link)


def _of_controller(site: VirtualSite, controller: str) -> Iterator[Complaint]:
    it, shown = site.fitted.controllers[controller], lamp(site, controller)
    if shown == "dark":
        yield Complaint("panel-dark", controller, 3.0)
    if shown == "mains-lamp":
        yield Complaint("mains-fault", controller, 2.0)
    if shown != "dark":
        yield from _lamps(site, controller)
    yield from _fails_on_battery(site, controller)
    if it.settings_of == "defaults" or not it.keeps_settings:
        yield Complaint("settings-lost", controller, 3.0)
    if not it.user_may or (not it.keeps_settings):
        yield Complaint("settings-refused", controller, 2.0)
    if it.settings_of == "other-site":
        yield Complaint("settings-copied-misbehaves", controller, 3.0)


def _lamps(site: VirtualSite, controller: str) -> Iterator[Complaint]:
    if battery_shown(site, controller):
        yield Complaint("battery-fault", controller, 2.5)
    if earth_shown(site, controller):
        yield Complaint("earth-fault", controller, 3.0)
    for part in line_faults(site, controller):
        symptom = "drive-line-fault" if part in site.fitted.outputs else "detector-line-fault"
        yield Complaint(symptom, part, 2.5)
    if smoke_held(site, controller) and not site.around.smoke:
        for zone in _smoke_zones(site):
            held = site.history.alarm != "no"
            yield Complaint("wont-close-after-alarm" if held else "smoke-opens-unasked", zone, 3.0)


def _smoke_zones(site: VirtualSite) -> list[str]:
    inputs = site.topology.site.inputs
    return sorted(
        {z for it in inputs if inputs[it].kind in ("detector-line", "call-point") for z in inputs[it].zones or ()}
    )


def _fails_on_battery(site: VirtualSite, controller: str) -> Iterator[Complaint]:
    it = site.fitted.controllers[controller]
    bus = site.bus(controller)
    if bus.on_battery and bus.alive and not it.comfort_on_battery and site.history.power_cut:
        yield Complaint("fails-on-battery", controller, 1.5)
    if not it.has_battery or not has_mains(it) or not it.fuse_whole or it.unit_voltage_share < 0.9:
        return
    if not runs_on_battery(site, controller):
        yield Complaint("fails-on-battery", controller, 1.0)


def runs_on_battery(site: VirtualSite, controller: str) -> bool:
    """Return whether the controller stays alive and holds its voltage with mains switched off, under load."""
    it = site.fitted.controllers[controller]
    was, it.isolator_on = it.isolator_on, False
    drives = [site.topology.consumers_of_output(output) for output in site.topology.outputs_of_controller(controller)]
    load = sum(
        site.topology.site.drives[drive].running_current_a or 1.0
        for listed in drives
        for drive in listed
        if drive in site.fitted.drives
    )
    alive = site.bus(controller, 0.5 * load).alive
    it.isolator_on = was
    return alive


def _of_output(site: VirtualSite, output: str) -> Iterator[Complaint]:
    described, it = site.topology.site.outputs[output], site.fitted.outputs[output]
    if any(site.fitted.cables[cable].short_ohm for cable in _fed_cables(site, output)):
        yield Complaint("fuse-blows", output, 1.5)
    if described.kind != "data-24v" or not described.controller or not site.bus(described.controller).alive:
        return
    fitted = len([drive for drive in site.topology.consumers_of_output(output) if drive in site.fitted.drives])
    found = found_by_discovery(site, output)
    expected = it.expected if it.expected is not None else fitted
    if found == 0 < fitted:
        yield Complaint("discovery-finds-zero", output, 1.0)
    elif found < expected:
        yield Complaint("discovery-finds-fewer", output, 1.0)
    elif found > expected:
        yield Complaint("discovery-finds-more", output, 2.0)


def _fed_cables(site: VirtualSite, output: str) -> set[str]:
    paths = [site.topology.supply_path(it) for it in site.topology.consumers_of_output(output)]
    return {it for path in paths for it in path if it in site.fitted.cables}


def _of_link(site: VirtualSite, link: str) -> Iterator[Complaint]:
    it, state = site.fitted.links[link], link_state(site, link)
    if state == "none" or it.pair_swapped or not it.speed_matches:
        yield Complaint("building-link-offline", link, 2.5)
    elif state == "errors":
        yield Complaint("building-link-offline", link, 1.0)
    held = any(site.fitted.zones[zone].held_by == "link" for zone in site.topology.site.links[link].zones or ())
    if not it.map_right or not it.in_service or held:
        yield Complaint("building-link-ignored", link, 2.0)
