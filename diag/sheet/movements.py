"""Say which movement a test must bring about at a part."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from diag.expectations.movement import limit_mm
from diag.expectations.words import listed
from diag.facts import Situation
from diag.site import Drive, Input


def movement_at(situation: Situation, check: str, part: str) -> str:
    """Return the movement in words; empty where the check says no more than its own expectation."""
    says = MOVEMENTS.get(check)
    return says(situation, part) if says else ""


def _of_drive(situation: Situation, drive: str) -> str:
    it: Drive = situation.scope.topology.site.drives[drive]
    opening = _opening_name(situation, it.opening)
    if it.stroke_mm is None:
        return f"Opens {opening} fully and closes it again"
    distance = min(it.stroke_mm, limit_mm(situation, it) or it.stroke_mm)
    limited = ", its limit" if distance < it.stroke_mm else ""
    return f"Opens {opening} to {distance:.0f} mm{limited}, then closes it again"


def _opening_name(situation: Situation, opening: str | None) -> str:
    return situation.scope.topology.name(opening) if opening else "its opening"


def _bare(name: str) -> str:
    return name.removeprefix("the ")


def _in_step(situation: Situation, opening: str) -> str:
    site = situation.scope.topology.site
    drives = [drive for drive, it in site.drives.items() if it.opening == opening]
    return f"{listed(drives)} start, run and stop together"


def _closes(situation: Situation, opening: str) -> str:
    return f"{_capital(_opening_name(situation, opening))} closes in one go and pulls tight"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _zones(situation: Situation, part: str) -> str:
    return listed(_bare(situation.scope.topology.name(it)) for it in situation.scope.zones_of(part))


def _of_input(situation: Situation, part: str) -> str:
    it: Input = situation.scope.topology.site.inputs[part]
    if it.open_does or it.close_does:
        sides = ((side, does) for side, does in (("open", it.open_does), ("close", it.close_does)) if does)
        said = (f"pressed {side} it {_moves(situation, part, does)}" for side, does in sides)
        return _capital("; ".join(said))
    return f"In use it {_moves(situation, part, it.active_does)}" if it.active_does else ""


def _moves(situation: Situation, part: str, action: str | None) -> str:
    return DOES.get(action or "", "moves {zones}").format(zones=_zones(situation, part))


DOES: Mapping[str, str] = {
    "open": "opens {zones}",
    "close": "closes {zones}",
    "stop": "stops {zones}",
    "step": "moves {zones} a step",
    "run-to-end": "runs {zones} to the end",
    "nothing": "leaves {zones} alone",
}
"""What an input does to its zones, for each action."""


def _tap(situation: Situation, part: str) -> str:
    it: Input = situation.scope.topology.site.inputs[part]
    length = f" below {it.hold_threshold_s:g} s" if it.hold_threshold_s else ""
    return f"A press{length} {_moves(situation, part, it.tap_does)}"


def _hold(situation: Situation, part: str) -> str:
    it: Input = situation.scope.topology.site.inputs[part]
    length = f" over {it.hold_threshold_s:g} s" if it.hold_threshold_s else ""
    return f"A press{length} {_moves(situation, part, it.hold_does)}"


def _wet(situation: Situation, part: str) -> str:
    it: Input = situation.scope.topology.site.inputs[part]
    return f"Wet, it {_moves(situation, part, it.active_does)}"


def _directions(situation: Situation, zone: str) -> str:
    return f"All of {_openings(situation, zone)} open on open, close on close"


def _openings(situation: Situation, zone: str) -> str:
    openings = situation.scope.topology.site.zones[zone].openings or ()
    return listed(openings) if openings else "its openings"


def _automatic(situation: Situation, zone: str) -> str:
    topology = situation.scope.topology
    asking = [it for it in topology.inputs_of_zone(zone) if topology.site.inputs[it].command_class == "automatic"]
    waits = [topology.site.inputs[it].delay_minutes or 0.0 for it in asking]
    names = listed(topology.name(it) for it in asking)
    return f"Opens by itself {max(waits):g} min after the {_bare(names)} asks"


def _smoke(situation: Situation, zone: str) -> str:
    site = situation.scope.topology.site
    openings = [it for it in site.zones[zone].openings or () if it in site.openings and site.openings[it].smoke]
    return f"{listed(openings)} open fully and stay open until reset"


def _on_battery(situation: Situation, controller: str) -> str:
    kept = situation.scope.topology.site.controllers[controller].comfort_on_battery is False
    return "Smoke openings still move; comfort moves are kept back" if kept else "One zone still moves"


def _by_link(situation: Situation, link: str) -> str:
    return f"One command to {_zones(situation, link)} is carried out, then the value is given back"


def _fan(situation: Situation, fan: str) -> str:
    interlock = situation.scope.topology.site.fans[fan].interlock
    after = f", once {_opening_name(situation, interlock)} is open" if interlock else ""
    return f"Starts and turns with the arrow{after}"


MOVEMENTS: Mapping[str, Callable[[Situation, str], str]] = {
    "look-drive-behaviour": _of_drive,
    "look-drives-in-step": _in_step,
    "try-close-watch": _closes,
    "look-input-lamp": _of_input,
    "try-tap": _tap,
    "try-hold": _hold,
    "try-wet-sensor": _wet,
    "try-switch-directions": _directions,
    "try-automatic": _automatic,
    "try-test-smoke": _smoke,
    "try-mains-off": _on_battery,
    "try-link-command": _by_link,
    "try-fan-direct": _fan,
}
"""For each test that moves something, how to say what has to move."""
