"""What the controller shows and what its functions do: lamps, discovery, link, smoke test, fans."""

from __future__ import annotations

from typing import Literal

from diag.virtual.electrics import cables_below, data_reaches, data_upset, supply_reaches
from diag.virtual.sensing import alarm, line_fault
from diag.virtual.site import Response, VirtualSite

Lamp = Literal["normal", "dark", "mains-lamp", "battery-lamp", "line-lamp", "alarm-lamp"]
EARTH_SHOWN_MOHM = 0.05
EarthSide = Literal["earth", "line"]


def lamp(site: VirtualSite, controller: str) -> Lamp:
    """Return what the lamps of a controller show first."""
    condition, bus = site.fitted.controllers[controller], site.bus(controller)
    if not bus.alive:
        return "dark"
    if smoke_held(site, controller):
        return "alarm-lamp"
    if not bus.mains or not condition.fuse_whole or bus.on_battery:
        return "mains-lamp"
    if battery_shown(site, controller):
        return "battery-lamp"
    return "line-lamp" if line_faults(site, controller) or earth_shown(site, controller) else "normal"


def battery_shown(site: VirtualSite, controller: str) -> bool:
    """Return whether the controller's own test finds fault with its battery or charger."""
    it = site.fitted.controllers[controller]
    if not it.has_battery:
        return False
    return not it.battery_linked or it.battery_charge < 0.3 or it.battery_health < 0.3 or it.charger_share < 0.95


def smoke_held(site: VirtualSite, controller: str) -> bool:
    """Return whether a smoke alarm stands or is latched."""
    if site.fitted.controllers[controller].smoke_latched:
        return True
    kinds = {it: site.topology.site.inputs[it].kind for it in site.topology.inputs_of_controller(controller)}
    parts = [it for it, kind in kinds.items() if kind in ("detector-line", "call-point")]
    return any(alarm(site.fitted, site.around, it, kinds[it] or "") for it in parts)


def line_faults(site: VirtualSite, controller: str) -> list[str]:
    """Return the outputs and detector lines whose supervision shows a fault."""
    inputs = [it for it in site.topology.inputs_of_controller(controller) if _is_line(site, it)]
    outputs = [
        it for it in site.topology.outputs_of_controller(controller) if site.topology.site.outputs[it].supervised
    ]
    return [it for it in outputs if drive_line(site, it) != "normal"] + [
        it for it in inputs if line_fault(site.fitted.inputs[it])
    ]


def _is_line(site: VirtualSite, part: str) -> bool:
    return site.topology.site.inputs[part].kind == "detector-line"


def drive_line(site: VirtualSite, output: str) -> Literal["normal", "open", "short", "half", "other-value"]:
    """Return what the end-of-line of a supervised output reads, from the controller."""
    condition = site.fitted.outputs[output]
    cables = cables_below(site.topology, output)
    if any(site.fitted.cables[it].short_ohm for it in cables):
        return "short"
    if condition.terminals == "wrong-terminal" or condition.end_of_line == "missing":
        return "open"
    # the end element sits at the last drive: a break in any common cable or in that drive's lead opens the line
    if any(site.fitted.cables[it].out_open for it in _cables_to_end(site, output)):
        return "open"
    if condition.end_of_line == "two-fitted":
        return "half"
    if condition.end_of_line != "right" or condition.crossed_with or _wet(site, cables):
        return "other-value"
    return "normal"


def _cables_to_end(site: VirtualSite, output: str) -> list[str]:
    consumers = site.topology.consumers_of_output(output)
    path = site.topology.supply_path(consumers[-1]) if consumers else ()
    return [it for it in path if it in site.fitted.cables]


def _wet(site: VirtualSite, cables: list[str]) -> bool:
    starts = {site.topology.site.cables[it].from_ for it in cables}
    return any(site.fitted.junctions[it].leak_ohm for it in starts if it in site.fitted.junctions)


def earth_shown(site: VirtualSite, controller: str) -> bool:
    """Return whether the controller shows an earth fault."""
    outputs = site.topology.outputs_of_controller(controller)
    return any(
        site.fitted.cables[it].earth_mohm < EARTH_SHOWN_MOHM
        for output in outputs
        for it in cables_below(site.topology, output)
    )


def found_by_discovery(site: VirtualSite, output: str) -> int:
    """Return how many drives a discovery on the output finds."""
    condition, topology = site.fitted.outputs[output], site.topology
    controller = topology.site.outputs[output].controller
    alive = controller is None or site.bus(controller).alive
    if not alive or not condition.enabled or not condition.fuse_whole or not condition.kind_fits:
        return 0
    if condition.terminals == "wrong-terminal":
        return 0
    drives = topology.consumers_of_output(condition.crossed_with or output)
    drives = tuple(it for it in drives if it in site.fitted.drives)
    answering = [it for it in drives if answers_discovery(site, it)]
    addresses = {site.fitted.drives[it].address for it in answering}
    lost = 1 if condition.data_length != "within-limit" and len(answering) > 1 else 0
    return len(addresses) - lost


def answers_discovery(site: VirtualSite, drive: str) -> bool:
    """Return whether a drive answers when it is asked, alone or among others."""
    condition, fitted, topology = site.fitted.drives[drive], site.fitted, site.topology
    output = topology.output_of(drive) or ""
    if not condition.addressable or condition.board == "dead" or not condition.version_known:
        return False
    swapped = sum(fitted.cables[it].swapped for it in topology.supply_path(drive) if it in fitted.cables) % 2
    return (
        data_reaches(topology, fitted, drive)
        and not data_upset(topology, fitted, output)
        and supply_reaches(topology, fitted, drive)
        and not swapped
    )


def link_state(site: VirtualSite, link: str) -> Literal["traffic", "errors", "none"]:
    """Return what the link lamps show."""
    it, described = site.fitted.links[link], site.topology.site.links[link]
    if it.cable_open or not it.plugged or not it.head_end_up:
        return "none"
    if described.controller and not site.bus(described.controller).alive:
        return "none"
    if it.pair_swapped or not it.speed_matches or it.end_resistors != 2 or not it.address_unique or it.noisy:
        return "errors"
    return "traffic"


def link_command(site: VirtualSite, link: str, zone: str) -> Literal["obeyed", "ignored", "accepted-not-executed"]:
    """Return what comes of a command over the link."""
    it, state = site.fitted.links[link], link_state(site, link)
    if state == "none" or it.pair_swapped or not it.speed_matches:
        return "ignored"
    if state == "errors" and site.dice.random() < 0.5:
        return "ignored"
    if not it.map_right:
        return "ignored" if site.dice.random() < 0.5 else "accepted-not-executed"
    if not it.in_service or site.fitted.zones[zone].held_by == "link":
        return "accepted-not-executed"
    response = site.command((zone,), "open", "link")
    return "obeyed" if response.moved else "accepted-not-executed"


def smoke_zones(site: VirtualSite) -> list[str]:
    """Return the zones that a detector line or call point opens."""
    inputs = site.topology.site.inputs
    parts = [it for it in inputs if inputs[it].kind in ("detector-line", "call-point")]
    return sorted({zone for it in parts for zone in inputs[it].zones or ()})


def smoke_test(site: VirtualSite, zone: str) -> Response:
    """Set off the zone's detectors and call points in turn and return what opens."""
    inputs = site.topology.site.inputs
    parts = [
        it for it in inputs if inputs[it].kind in ("detector-line", "call-point") and zone in (inputs[it].zones or ())
    ]
    works = [it for it in parts if zone in site.fitted.inputs[it].zones and not line_fault(site.fitted.inputs[it])]
    if len(works) < len(parts) or not parts:
        return Response((), None, {})
    return site.command((zone,), "open", "smoke")


FanState = Literal["runs", "still", "hums", "wrong-way", "little-air"]


def fan_state(site: VirtualSite, fan: str, demanded: bool, direct: bool = False) -> FanState:
    """Return what a fan does on demand, at rest, or run directly from its starter."""
    it, described = site.fitted.fans[fan], site.topology.site.fans[fan]
    output = described.output
    stuck = bool(output and site.fitted.outputs[output].stuck)
    volts = site.feed.volts_at_stage(output, 0.0) if output else 24.0
    if not direct and not stuck and (not demanded or volts <= 0 or not interlock_closed(site, fan)):
        return "still"
    if it.overload == "tripped" or it.speed_controller == "fault":
        return "still"
    if it.motor != "sound":
        return "still" if it.motor == "winding-bad" else "hums"
    if it.phases_exchanged:
        return "wrong-way"
    starved = any(site.fitted.zones[zone].screen == "clogged" for zone in site.topology.zones_of_fan(fan))
    return "little-air" if it.belt != "sound" or starved else "runs"


def interlock_closed(site: VirtualSite, fan: str) -> bool:
    """Return whether the end switch of the damper lets the fan start, with the damper commanded open."""
    opening = site.topology.site.fans[fan].interlock
    if site.fitted.fans[fan].chain_open:
        return False
    if not opening:
        return True
    drives = site.topology.drives_of_opening(opening)
    runs = [site.run_alone(it) for it in drives]
    blocked = any(site.fitted.drives[it].shaft_slips for it in drives)
    return bool(runs) and not blocked and all(it.stop == "end" for it in runs)
