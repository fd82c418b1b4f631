"""Measure inputs, signals, links and fans of a virtual site."""

from __future__ import annotations

from collections.abc import Mapping

from diag.virtual.contacts import at_terminals
from diag.virtual.panel import fan_state
from diag.virtual.sensing import at_sensor, reading, shown
from diag.virtual.site import VirtualSite
from diag.virtual_checks.found import Found, Perform

OUTDOOR_PPM = 420.0
"""Common practice, no source."""


def _volts_input(site: VirtualSite, part: str) -> Found:
    return at_terminals(site.topology, site.fitted, site.around, part)


def _sensor_signal(site: VirtualSite, part: str) -> Found:
    it = site.fitted.inputs[part]
    if it.out_of_range or it.wire_open or it.wire_short:
        return "out-of-range"
    if it.other_signal:
        return "wrong-kind"
    return "frozen" if it.frozen_at is not None or it.bearing != "spins" else "plausible"


def _thermometer(site: VirtualSite, part: str) -> Found:
    off = reading(site.topology, site.fitted, site.around, part) - at_sensor(
        site.topology, site.fitted, site.around, part
    )
    return max(-100.0, min(200.0, off))


def _outdoor_co2(site: VirtualSite, part: str) -> Found:
    """Return what the sensor reads in outdoor air; a value that does not change on the way there is frozen."""
    indoors = reading(site.topology, site.fitted, site.around, part)
    outdoors = shown(site.topology, site.fitted, part, OUTDOOR_PPM)
    if abs(indoors - outdoors) < 1.0 and abs(site.around.co2_ppm - OUTDOOR_PPM) > 50.0:
        return "frozen"
    return max(0.0, outdoors)


def _signal_positioner(site: VirtualSite, drive: str) -> Found:
    output = site.driving.output(drive)
    if not site.fitted.outputs[output].kind_fits:
        return "wrong-range"
    live = site.feed.volts_at_stage(output, 0.0) > 0
    cut = any(site.fitted.cables[it].out_open for it in site.topology.supply_path(drive) if it in site.fitted.cables)
    return "follows" if live and not cut else "none"


def _link_rest(site: VirtualSite, link: str) -> Found:
    it = site.fitted.links[link]
    if it.cable_open or not it.plugged:
        return 0.02
    return -0.35 if it.pair_swapped else 0.4


def _current_fan(site: VirtualSite, fan: str) -> Found:
    state = fan_state(site, fan, demanded=True)
    if state == "hums":
        return "over"
    return "none" if state == "still" else "normal"


def _phases(site: VirtualSite, fan: str) -> Found:
    return "two-exchanged" if site.fitted.fans[fan].phases_exchanged else "right"


def _fan_motor(site: VirtualSite, fan: str) -> Found:
    return site.fitted.fans[fan].motor


SIGNALS: Mapping[str, Perform] = {
    "current-fan": _current_fan,
    "volts-input": _volts_input,
    "signal-sensor": _sensor_signal,
    "compare-thermometer": _thermometer,
    "co2-outdoors": _outdoor_co2,
    "signal-positioner": _signal_positioner,
    "volts-link-pair": _link_rest,
    "phases-fan": _phases,
    "test-fan-motor": _fan_motor,
}
"""For each signal: what the meter shows, or the outcome itself."""
