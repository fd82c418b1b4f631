"""Operate the controllers and outputs of a virtual site for a check and say what they do."""

from __future__ import annotations

from collections.abc import Mapping

from diag.virtual.electrics import cables_below
from diag.virtual.noticing_panel import runs_on_battery
from diag.virtual.panel import smoke_held
from diag.virtual.powered import is_commanded, powered, zones_of_drive
from diag.virtual.site import VirtualSite
from diag.virtual_checks.found import Found, Perform
from diag.virtual_checks.measuring_supply import drives_load_a, rated_v
from diag.virtual_checks.trials import fresh

SLOW_SHARE = 0.85
"""Below this share of their voltage drives are seen to be slow; judgement."""


def _disconnect_output(site: VirtualSite, output: str) -> Found:
    cables = cables_below(site.topology, output)
    faulty = any(site.fitted.cables[it].short_ohm or site.fitted.cables[it].earth_mohm < 0.05 for it in cables)
    return "clears" if faulty or (powered(site, output).state.tripped) else "no-change"


def better_alone(site: VirtualSite, output: str) -> bool:
    """Return whether a drive of the output gets further alone than with all zones running."""
    drives = [it for it in site.topology.consumers_of_output(output) if it in site.fitted.drives]
    if site.fitted.outputs[output].back_feeds and len(drives) > 1:
        return True
    with fresh(site):
        together = site.command(tuple(site.fitted.zones), "open", "manual").runs
    for drive in drives:
        with fresh(site):
            alone = site.run_alone(drive) if any(is_commanded(site, it) for it in zones_of_drive(site, drive)) else None
        run = together.get(drive)
        if alone and run and (alone.moved_mm > run.moved_mm + 10 or alone.seconds < 0.8 * run.seconds):
            return True
    return False


def _one_at_a_time(site: VirtualSite, output: str) -> Found:
    return "better-alone" if better_alone(site, output) else "same"


def _other_outputs(site: VirtualSite, controller: str) -> Found:
    own = set(site.topology.outputs_of_controller(controller))
    for zone in site.fitted.zones:
        if own & set(site.outputs_of(zone)):
            with fresh(site):
                if site.command_at_panel(zone, "open").moved:
                    return "move"
    return "none-move"


def _reset_alarm(site: VirtualSite, controller: str) -> Found:
    it = site.fitted.controllers[controller]
    if not it.user_may or not smoke_held(site, controller):
        return "no-effect"
    was, it.smoke_latched = it.smoke_latched, False
    returns = smoke_held(site, controller)
    it.smoke_latched = was
    return "returns" if returns else "resets"


def _restart(site: VirtualSite, controller: str) -> Found:
    """Switch off and on; whether it starts tells only where 24 V is there to start it."""
    it, bus = site.fitted.controllers[controller], site.bus(controller)
    if it.board != "dead" and not bus.alive:
        return "not-sure"
    if it.board == "dead":
        return "does-not-start" if bus.voltage_v > 0 else "not-sure"
    return "fails-again" if it.board == "deaf" else "starts-normal"


def _kept(site: VirtualSite, controller: str) -> Found:
    it = site.fitted.controllers[controller]
    return "kept" if it.keeps_settings and it.user_may else "lost"


def _level(site: VirtualSite, controller: str) -> Found:
    return "enough" if site.fitted.controllers[controller].user_may else "refused"


def _mains_off(site: VirtualSite, controller: str) -> Found:
    it = site.fitted.controllers[controller]
    if not runs_on_battery(site, controller) or not it.comfort_on_battery:
        return "dead"
    was, it.isolator_on = it.isolator_on, False
    volts = site.bus(controller, 0.5 * drives_load_a(site, controller)).voltage_v
    it.isolator_on = was
    return "slow" if volts < SLOW_SHARE * rated_v(site, controller) else "runs-on-battery"


def _discovery_again(site: VirtualSite, output: str) -> Found:
    if site.fitted.outputs[output].data_length != "within-limit" and site.dice.random() < 0.5:
        return "more-found"
    return "same"


CONTROLLERS: Mapping[str, Perform] = {
    "try-disconnect-output": _disconnect_output,
    "try-one-at-a-time": _one_at_a_time,
    "try-other-outputs": _other_outputs,
    "try-reset-alarm": _reset_alarm,
    "try-controller-restart": _restart,
    "try-set-and-read-back": _kept,
    "try-sign-in-level": _level,
    "try-mains-off": _mains_off,
    "try-discovery-again": _discovery_again,
}
"""For each trial with a controller or an output: what it does."""
