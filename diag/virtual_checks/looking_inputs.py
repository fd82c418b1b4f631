"""Look at switches, sensors and detectors of a virtual site and say what is seen."""

from __future__ import annotations

from collections.abc import Mapping

from diag.virtual.contacts import in_display
from diag.virtual.sensing import is_wet, reading
from diag.virtual.site import VirtualSite
from diag.virtual_checks.found import Found, Perform


def _key(site: VirtualSite, part: str) -> Found:
    return "off-or-isolated" if site.fitted.inputs[part].key_turned else "normal"


def _rain_state(site: VirtualSite, part: str) -> Found:
    shown = is_wet(site.topology, site.fitted, site.around, part)
    if shown == site.around.raining:
        return "dry"
    return "wet-shown-when-dry" if shown else "dry-shown-when-wet"


def _rain_sensor(site: VirtualSite, part: str) -> Found:
    it = site.fitted.inputs[part]
    if it.surface == "dirty":
        return "dirty"
    return "wet-not-drying" if not it.heater_warm and site.around.wet_lately else "clean"


def _rain_heater(site: VirtualSite, part: str) -> Found:
    if site.topology.site.inputs[part].heated is False:
        return "none-fitted"
    return "warm" if site.fitted.inputs[part].heater_warm else "cold"


def _wind_state(site: VirtualSite, part: str) -> Found:
    shown, true = reading(site.topology, site.fitted, site.around, part), site.around.wind_m_s
    if shown > 1.5 * true + 3:
        return "windy-in-calm"
    # a calm reading is noticed on any day with a breeze: people come back when there is one
    return "calm-in-wind" if shown < 0.4 * true else "plausible"


def _wind_sensor(site: VirtualSite, part: str) -> Found:
    return site.fitted.inputs[part].bearing


def _call_point(site: VirtualSite, part: str) -> Found:
    return "operated" if site.fitted.inputs[part].operated else "normal"


def _detector_head(site: VirtualSite, part: str) -> Found:
    return site.fitted.inputs[part].head


def _input_lamp(site: VirtualSite, part: str) -> Found:
    return in_display(site.topology, site.fitted, site.around, part)


def _sensor_place(site: VirtualSite, part: str) -> Found:
    found = site.fitted.inputs[part].place
    return "fair" if found == "sheltered" else found


def _weather_place(site: VirtualSite, part: str) -> Found:
    return "sheltered" if site.fitted.inputs[part].place == "sheltered" else "open-sky"


def _terminals_input(site: VirtualSite, part: str) -> Found:
    return site.fitted.inputs[part].terminals


def _steady(site: VirtualSite, part: str) -> Found:
    return "jumps" if site.fitted.inputs[part].jumps else "steady"


AT_INPUTS: Mapping[str, Perform] = {
    "ask-key-position": _key,
    "look-rain-state": _rain_state,
    "look-rain-sensor": _rain_sensor,
    "look-rain-heater": _rain_heater,
    "look-wind-state": _wind_state,
    "look-wind-sensor": _wind_sensor,
    "look-call-point": _call_point,
    "look-detector-head": _detector_head,
    "look-input-lamp": _input_lamp,
    "look-sensor-place": _sensor_place,
    "look-weather-sensor-place": _weather_place,
    "look-terminals-input": _terminals_input,
    "signal-while-running": _steady,
}
"""For each look at an input: what is seen."""
