"""Use the switches and sensors of a virtual site for a check and say what follows."""

from __future__ import annotations

from collections.abc import Mapping

from diag.virtual.contacts import contact_made
from diag.virtual.powered import is_commanded
from diag.virtual.sensing import demand, is_wet
from diag.virtual.site import VirtualSite
from diag.virtual_checks.found import Found, Perform
from diag.virtual_checks.trials import fresh


def _tap(site: VirtualSite, part: str) -> Found:
    """Start the zone from the panel and tap the switch while it moves."""
    it = site.fitted.inputs[part]
    described = site.topology.site.inputs[part].zones or ()
    with fresh(site, 0.5):
        moving = [zone for zone in described if site.command_at_panel(zone, "open").moved]
    if not moving:
        return "not-sure"
    if any(site.fitted.outputs[output].stuck for zone in moving for output in site.outputs_of(zone)):
        return "no-effect"
    seen = contact_made(site.fitted, part, "open") and not site.stuck_side(part) and not it.wrong_terminal
    if not seen or not set(moving) & set(it.zones) or not it.tap_stops or it.function == "nothing":
        return "no-effect"
    return "stops" if it.function == "right" else "runs-on"


def _hold(site: VirtualSite, part: str) -> Found:
    return _press(site, part, 1.5, "moves", "no-effect")


def _long_hold(site: VirtualSite, part: str) -> Found:
    short = _press(site, part, 1.5, "moves", "no-effect")
    long = _press(site, part, 6.0, "moves", "no-effect")
    return "moves-after-longer-press" if long == "moves" and short != "moves" else "no-difference"


def _press(site: VirtualSite, part: str, seconds: float, works: str, fails: str) -> str:
    with fresh(site):
        opened = site.press(part, "open", seconds).moved
    with fresh(site, 1.0):
        closed = site.press(part, "close", seconds).moved
    return works if opened and closed else fails


def _bridge(site: VirtualSite, part: str) -> Found:
    """Make the input at the controller: what follows is right unless settings or commands keep it."""
    it, kind = site.fitted.inputs[part], site.topology.site.inputs[part].kind
    if kind == "key-switch":
        return "works"
    zones = [zone for zone in it.zones if is_commanded(site, zone)]
    if it.function in ("nothing", "other-function") or not zones:
        return "nothing"
    with fresh(site):
        return "works" if any(site.command_at_panel(zone, "open").moved for zone in zones) else "nothing"


def _disconnect_input(site: VirtualSite, part: str) -> Found:
    it, kind = site.fitted.inputs[part], site.topology.site.inputs[part].kind
    if it.wire_short or it.contact == "stuck-closed":
        return "clears"
    if kind == "rain":
        wet = is_wet(site.topology, site.fitted, site.around, part)
        return (
            "clears"
            if wet and site.topology.site.inputs[part].contact == "normally-open"
            else ("clears" if wet and it.surface == "dirty" else "no-change")
        )
    return "clears" if kind != "switch" and demand(site.topology, site.fitted, site.around, part) else "no-change"


def _dry(site: VirtualSite, part: str) -> Found:
    it = site.fitted.inputs[part]
    surface, wet, it.surface = it.surface, site.around.wet_lately, "clean"
    site.around.wet_lately = False
    still = is_wet(site.topology, site.fitted, site.around, part) and not site.around.raining
    it.surface, site.around.wet_lately = surface, wet
    return "stays-wet" if still else "clears"


def _wet(site: VirtualSite, part: str) -> Found:
    it = site.fitted.inputs[part]
    zones = it.zones
    if it.function in ("nothing", "other-function") or not zones:
        return "nothing"
    closes = is_wet(site.topology, site.fitted, site.around, part, wetted=True)
    order = any(controller.order_changed for controller in site.fitted.controllers.values())
    return "closes" if closes and not order else "nothing"


INPUTS: Mapping[str, Perform] = {
    "try-tap": _tap,
    "try-hold": _hold,
    "try-long-hold": _long_hold,
    "try-bridge-input": _bridge,
    "try-disconnect-input": _disconnect_input,
    "try-dry-sensor": _dry,
    "try-wet-sensor": _wet,
}
"""For each trial with an input: what follows."""
