"""What each input tells its controller, from the world around, its sensor, its cores and its settings."""

from __future__ import annotations

from diag.topology import Topology
from diag.virtual.fitted import Fitted, InputCondition
from diag.virtual.surroundings import Surroundings

OFF_SCALE, BELOW_SCALE, FROZEN_C = 999.0, -20.0, 12.0
SHELTER_SHARE = 0.2
"""How much of the wind reaches a sheltered sensor; judgement."""
STIFF_SHARE = 0.1
USUAL_SET_POINT, USUAL_SET_POINT_PPM = 23.0, 1000.0
"""Taken where an input does not say; common practice, no source."""


def true_value(topology: Topology, around: Surroundings, part: str) -> float:
    """Return what a perfect sensor in the right place would read."""
    kind = topology.site.inputs[part].kind
    if kind == "wind":
        return around.wind_m_s
    return around.co2_ppm if kind == "co2" else around.room_c


def at_sensor(topology: Topology, fitted: Fitted, around: Surroundings, part: str) -> float:
    """Return what is really there where the sensor sits: sun, dead air and shelter included."""
    it = fitted.inputs[part]
    share = SHELTER_SHARE if it.place == "sheltered" else 1.0
    return true_value(topology, around, part) * share + it.place_off


def reading(topology: Topology, fitted: Fitted, around: Surroundings, part: str) -> float:
    """Return the value that the controller shows for a sensor."""
    return shown(topology, fitted, part, at_sensor(topology, fitted, around, part))


def shown(topology: Topology, fitted: Fitted, part: str, there: float) -> float:
    """Return what the controller shows when this is there where the sensor sits."""
    it, kind = fitted.inputs[part], topology.site.inputs[part].kind
    if it.out_of_range or it.wire_open:
        return 0.0 if kind == "co2" else BELOW_SCALE
    if it.wire_short:
        return OFF_SCALE
    if it.other_signal:
        return there * 0.2 - 10.0
    if it.frozen_at is not None:
        return it.frozen_at if kind == "wind" else FROZEN_C
    if it.bearing != "spins":
        return STIFF_SHARE * there
    return there * it.scale + it.offset


def is_windy(topology: Topology, fitted: Fitted, around: Surroundings, part: str) -> bool:
    """Return whether a wind input reads its limit or more."""
    it = fitted.inputs[part]
    limit = it.limit or it.set_point
    return bool(limit) and reading(topology, fitted, around, part) >= float(limit or 0.0)


def is_wet(topology: Topology, fitted: Fitted, around: Surroundings, part: str, wetted: bool = False) -> bool:
    """Return whether a rain input tells rain; `wetted` says that somebody wets the sensor."""
    return contact_wet(topology, fitted, around, part, wetted) != _is_turned(fitted.inputs[part])


def _is_turned(it: InputCondition) -> bool:
    """Return whether the settings read the contact the wrong way round."""
    return it.inverted_kind or it.function == "inverted"


def contact_wet(topology: Topology, fitted: Fitted, around: Surroundings, part: str, wetted: bool = False) -> bool:
    """Return whether the contact of a rain sensor, at the controller's terminals, stands as for rain."""
    it = fitted.inputs[part]
    if it.wire_open or it.wire_short:
        # a described closed-when-dry contact reads a break as rain and a short as dry
        fails_wet = topology.site.inputs[part].contact == "normally-closed"
        return it.wire_open == fails_wet
    if it.frozen_at is not None or it.out_of_range:
        return False
    sheltered = it.place == "sheltered" and not wetted
    wet = wetted or (around.raining and not sheltered) or it.surface == "dirty"
    return wet or (not it.heater_warm and around.wet_lately)


def alarm(fitted: Fitted, around: Surroundings, part: str, kind: str) -> bool:
    """Return whether a detector line or call point asks for smoke ventilation."""
    it = fitted.inputs[part]
    if kind == "call-point":
        return it.operated
    return it.head == "dirty" or (around.smoke and it.head == "seated" and not it.wire_open)


def line_fault(it: InputCondition) -> bool:
    """Return whether the supervision of a detector line shows a fault."""
    return it.head == "missing" or it.end_of_line != "right" or it.wire_open or it.wire_short


def demand(topology: Topology, fitted: Fitted, around: Surroundings, part: str) -> bool:
    """Return whether a thermostat, temperature or CO2 input asks to open."""
    it, described = fitted.inputs[part], topology.site.inputs[part]
    if described.signal == "contact" and (it.wire_open or it.frozen_at is not None or it.out_of_range):
        return False
    return reading(topology, fitted, around, part) > set_point(topology, fitted, part)


def is_cool(topology: Topology, fitted: Fitted, around: Surroundings, part: str) -> bool:
    """Return whether a thermostat, temperature or CO2 input lets the openings close again."""
    band = topology.site.inputs[part].dead_band or 0.0
    return reading(topology, fitted, around, part) < set_point(topology, fitted, part) - band


def set_point(topology: Topology, fitted: Fitted, part: str) -> float:
    """Return the set point as it is, or a usual one."""
    usual = USUAL_SET_POINT_PPM if topology.site.inputs[part].kind == "co2" else USUAL_SET_POINT
    found = fitted.inputs[part].set_point
    return usual if found is None else found
