"""What is dangerous about a check or a repair here and now: what is live, what can move, and where one stands."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from diag.virtual.site import VirtualSite
from knowledge.entries import Cause, Check

Precaution = Literal[
    "isolated",
    "battery-off",
    "proved-dead",
    "proved-tester",
    "clear-of-edges",
    "secured-sash",
    "safe-access",
    "weather-waited",
    "told-people",
]
DEAD_WORK = ("ohms-", "insulation-", "phases-", "test-fan-", "try-swap-", "try-disconnect-output", "look-terminals-")
"""Checks made on cores that must be dead, by how their ids begin."""
MAINS_TESTS = ("volts-mains", "volts-isolator", "volts-power-unit-alone")
SHAKES_PEOPLE = ("try-test-smoke", "try-reset-alarm", "try-link-command", "try-mains-off", "try-controller-restart")
"""Checks that move openings, or stop smoke ventilation, where nobody expects it."""
NEEDS_POWER = (
    "volts-", "current-", "signal-", "look-output-lamp", "look-input-lamp", "look-link-lamps", "look-panel-lamps",
    "look-position-shown", "look-clock", "look-schedule", "look-fault-log", "look-count-found", "look-rain-heater",
    "look-last-command-source", "look-rain-state", "look-wind-state", "time-full-travel",
)  # fmt: skip
"""Checks, besides operating and reading settings, that show nothing without mains, by how their ids begin."""
BATTERY = ("volts-battery-", "try-mains-off")
"""Checks of what the battery gives, which the isolator does not touch."""
BY_HAND = ("try-drive-detached", "try-disconnected-drive-by-hand")
LOOSENS_SASH = (
    "hinge-seized", "bracket-loose", "frame-distorted", "drive-motor-failed", "drive-gear-worn",
    "drive-electronics-failed", "drive-end-switch-failed", "hinge-stiff-and-drive-worn",
)  # fmt: skip
"""Causes whose repair takes a drive or a hinge off."""
HIGH = frozenset({"ladder", "platform", "roof"})
STRONG_WIND_M_S = 8.0


@dataclass(frozen=True, slots=True)
class Danger:
    """A caution's id, why it holds here and now, and the precaution that answers it."""

    caution: str
    why: str
    precaution: Precaution


def dangers(site: VirtualSite, check: Check, part: str, taken: frozenset[str]) -> tuple[Danger, ...]:
    """Return what makes a check dangerous as the site is now, less what the precautions taken answer."""
    found = [*_electric(site, check, part), *_moving(site, check, part), *_place(site, check, part), *_people(check)]
    return tuple(it for it in dict.fromkeys(found) if it.precaution not in taken)


def repair_dangers(site: VirtualSite, cause: Cause, part: str, taken: frozenset[str]) -> tuple[Danger, ...]:
    """Return what makes a repair dangerous as the site is now, less what the precautions taken answer."""
    found = [*_place_of(site, part)]
    if cause.family != "settings":
        found += [*_dead_work(site, part), *_edges(site, part)]
    if cause.id in LOOSENS_SASH:
        found.append(Danger("falling-sash", "Nothing holds the sash once its drive or hinge is off", "secured-sash"))
    if any(it.serves_smoke for it in site.topology.site.controllers.values()):
        found.append(Danger("life-safety", "Smoke ventilation is out of use meanwhile", "told-people"))
    return tuple(it for it in dict.fromkeys(found) if it.precaution not in taken)


def needs_power(check: Check) -> bool:
    """Return whether a check shows nothing of the installation while its controller is isolated."""
    if check.id.startswith((*DEAD_WORK, *BATTERY, *BY_HAND)):
        return False
    return check.kind in ("operate", "settings") or check.id.startswith(NEEDS_POWER)


def needs_battery(check: Check) -> bool:
    """Return whether a check shows nothing once the battery is taken off."""
    return check.id.startswith(BATTERY) and check.id != "volts-battery-rest"


def controller_of(site: VirtualSite, part: str) -> str | None:
    """Return the controller that feeds a part or reads it."""
    topology, kinds = site.topology, site.topology.kinds
    if kinds.get(part) == "controller":
        return part
    if kinds.get(part) in ("cable", "junction"):
        fed = topology.fed_through(part)
        return controller_of(site, fed[0]) if fed else None
    described = topology.parts.get(part)
    near: str | None = getattr(described, "controller", None) or getattr(described, "output", None)
    return controller_of(site, near) if near else None


def _electric(site: VirtualSite, check: Check, part: str) -> Iterator[Danger]:
    if check.id in MAINS_TESTS or (_is_mains(site, part) and check.kind == "measure"):
        yield Danger("electric-shock", "230 V may be on these terminals", "proved-tester")
    if check.id.startswith(DEAD_WORK):
        yield from _dead_work(site, part)


def _dead_work(site: VirtualSite, part: str) -> Iterator[Danger]:
    """Yield what keeps the cores at a part from being dead, or from being known to be."""
    controller = controller_of(site, part)
    if controller is None:
        return
    it = site.fitted.controllers[controller]
    if it.isolator_on:
        yield Danger("electric-shock", "The isolator that feeds the controller is on", "isolated")
    if it.has_battery and it.battery_linked and it.battery_charge > 0:
        yield Danger("stored-energy", "The battery feeds the outputs with mains off", "battery-off")
    yield Danger("electric-shock", "Nobody has shown that the cores are dead", "proved-dead")


def _is_mains(site: VirtualSite, part: str) -> bool:
    described = site.topology.parts.get(part)
    output = part if part in site.topology.site.outputs else getattr(described, "output", None)
    fed = site.topology.fed_through(part)
    if output is None and fed:
        output = site.topology.output_of(fed[0])
    return bool(output) and site.topology.site.outputs[str(output)].kind == "three-core-230v"


def _moving(site: VirtualSite, check: Check, part: str) -> Iterator[Danger]:
    kind = site.topology.kinds.get(part)
    if kind == "fan" and check.stand == "part" and not needs_power(check):
        yield Danger("rotating-fan", "The fan can start by itself", "isolated")
    if kind not in ("drive", "opening") or check.stand != "part":
        return
    if check.id in ("try-drive-detached", "force-hand", "try-disconnected-drive-by-hand"):
        yield Danger("falling-sash", "Nothing holds the sash once its drive is off", "secured-sash")
    yield from _edges(site, part)


def _edges(site: VirtualSite, part: str) -> Iterator[Danger]:
    """Yield that an opening can move, where one works at it or at its drive."""
    kind = site.topology.kinds.get(part)
    if kind not in ("drive", "opening"):
        return
    opening = part if kind == "opening" else site.topology.site.drives[part].opening
    zones = site.topology.zones_of_opening(opening or "")
    if any(_can_move(site, zone) for zone in zones):
        yield Danger("crush", "A command can move it at any moment", "clear-of-edges")


def _can_move(site: VirtualSite, zone: str) -> bool:
    """Return whether anything that commands the zone has power to move it."""
    stages = [site.feed.volts_at_stage(output, 0.0) for output in site.outputs_of(zone)]
    return any(abs(volts) > 0 for volts in stages)


def _place(site: VirtualSite, check: Check, part: str) -> Iterator[Danger]:
    if check.stand == "part":
        yield from _place_of(site, part)


def _place_of(site: VirtualSite, part: str) -> Iterator[Danger]:
    described = site.topology.parts.get(part)
    place = site.topology.site.places.get(getattr(described, "place", None) or "")
    if place is None or place.access not in HIGH:
        return
    yield Danger("height", f"The way there is by {place.access}", "safe-access")
    rough = site.around.raining or site.around.snow or site.around.wind_m_s >= STRONG_WIND_M_S
    if place.access == "roof" and rough:
        yield Danger("weather", "It is wet, icy or windy on the roof now", "weather-waited")


def _people(check: Check) -> Iterator[Danger]:
    if check.id in SHAKES_PEOPLE:
        caution = "life-safety" if "smoke" in check.id or "alarm" in check.id else "remote-change"
        yield Danger(caution, "Nobody at the openings has been told", "told-people")
