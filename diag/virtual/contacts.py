"""What the contact of an input tells at the controller's terminals and in its settings, at rest and used."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from diag.topology import Topology
from diag.virtual.fitted import Fitted
from diag.virtual.sensing import alarm, at_sensor, contact_wet, is_wet, shown
from diag.virtual.surroundings import Surroundings

Side = Literal["open", "close"]
Follows = Literal["follows", "never-changes", "always-active"]
USED_BY = {"wind": 8.0, "co2": 1500.0}
"""What somebody who tries a sensor adds where it sits: turned by a finger, breathed on; a warm hand adds 6 degrees."""
WARM_HAND_C = 6.0
CHANGE_SHARE = 0.3
"""Less of the change than this is not noticed; judgement."""


def contact_made(fitted: Fitted, part: str, side: Side) -> bool:
    """Return whether pressing a side of a switch closes the contact that the controller sees for it."""
    it = fitted.inputs[part]
    if it.common_open or (it.wire_open and it.contact_side in (side, "both")):
        return False
    return not (it.contact == "stuck-open" and it.contact_side in (side, "both"))


def stuck_side(fitted: Fitted, part: str) -> Side | None:
    """Return the side of a switch that the controller sees pressed though nobody touches it."""
    it = fitted.inputs[part]
    if (it.contact == "stuck-closed" or it.wire_short) and it.contact_side != "both":
        return it.contact_side
    return None


def at_terminals(topology: Topology, fitted: Fitted, around: Surroundings, part: str) -> Follows:
    """Return whether the voltage at the input's own terminals changes when the input is used."""
    it, kind = fitted.inputs[part], topology.site.inputs[part].kind
    if it.wrong_terminal:
        return "never-changes"
    if kind == "rain":
        return _followed(*(contact_wet(topology, fitted, around, part, used) for used in (False, True)))
    if kind in ("detector-line", "call-point"):
        return _of_line(fitted, around, part, str(kind))
    if kind == "key-switch":
        return _followed(it.wire_short or it.key_turned, it.wire_short or not (it.wire_open or it.key_turned))
    if kind == "switch":
        pressed = all(contact_made(fitted, part, side) for side in ("open", "close"))
        return _followed(stuck_side(fitted, part) is not None, pressed)
    return _of_sensor(topology, fitted, around, part)


def in_display(topology: Topology, fitted: Fitted, around: Surroundings, part: str) -> Follows:
    """Return whether the state that the controller shows follows when the input is used."""
    controller = topology.site.inputs[part].controller
    if controller and fitted.controllers[controller].board == "deaf":
        return "never-changes"
    if topology.site.inputs[part].kind == "rain" and not fitted.inputs[part].wrong_terminal:
        return _followed(*(is_wet(topology, fitted, around, part, used) for used in (False, True)))
    return at_terminals(topology, fitted, around, part)


def _followed(idle: bool, used: bool) -> Follows:
    """Return what people say: an input that is active at rest catches the eye, whatever it does when used."""
    if idle:
        return "always-active"
    return "follows" if used else "never-changes"


def _of_line(fitted: Fitted, around: Surroundings, part: str, kind: str) -> Follows:
    """Return what a fire line shows; nobody sets it off, so a sound one counts as following."""
    if alarm(fitted, around, part, kind):
        return "always-active"
    it = fitted.inputs[part]
    return "never-changes" if it.wire_open or it.wire_short else "follows"


def _of_sensor(topology: Topology, fitted: Fitted, around: Surroundings, part: str) -> Follows:
    kind = topology.site.inputs[part].kind
    added = USED_BY.get(kind or "", WARM_HAND_C)
    there = at_sensor(topology, fitted, replace(around), part)
    change = shown(topology, fitted, part, there + added) - shown(topology, fitted, part, there)
    return "follows" if change >= CHANGE_SHARE * added else "never-changes"
