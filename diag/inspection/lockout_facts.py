"""What an inspector compares at lockouts and time programmes: whom they act on, when, and whether they can."""

from __future__ import annotations

from diag.inspection.view import View, Words, some_none, yes_no
from diag.site import Lockout

WATCHES = {"rain": {"rain"}, "wind": {"wind"}, "smoke": {"detector-line", "call-point"}}
WATCHES |= {"temperature": {"thermostat", "temperature"}, "maintenance": {"switch", "key-switch", "link"}}
"""Which kinds of input tell a lockout of each kind: common practice, no source."""


def lockout_words(view: View, part: str) -> Words:
    """Return the words and figures of one lockout."""
    it = view.site.lockouts[part]
    sensor = view.site.inputs[it.input] if it.input else None
    fitting = WATCHES.get(it.kind or "")
    kind = sensor.kind if sensor else None
    return {
        "kind": it.kind,
        "refuses": it.refuses,
        "forces": it.forces,
        "refuses_manual": yes_no(it.refuses_manual),
        "limit": it.limit,
        "release_minutes": it.release_minutes,
        "zones": some_none(it.zones or (), it.zones is not None),
        "input": it.input,
        "input_kind": kind,
        "input_fit": None if kind is None or fitting is None else "fits" if kind in fitting else "odd",
        "contradiction": yes_no(_contradicts(it) or None),
        "input_set_point": sensor.set_point if sensor else None,
        "set_point": _set_point(it, sensor.set_point if sensor else None),
        "roof_vent": yes_no(any(view.has_roof_vent(zone) for zone in it.zones or ()) or None),
        "zone_input": _same_zones(it, sensor.zones if sensor else None),
    }


def _contradicts(it: Lockout) -> bool:
    return it.forces in ("open", "close") and it.refuses in (it.forces, "both")


def _set_point(it: Lockout, set_point: float | None) -> str | None:
    if it.limit is None or set_point is None:
        return None
    return "same" if it.limit == set_point else "differs"


def _same_zones(it: Lockout, zones: list[str] | None) -> str | None:
    """Say whether the sensor of a lockout acts on zones that the lockout leaves out."""
    if it.zones is None or zones is None:
        return None
    return "left-out" if set(zones) - set(it.zones) else "covered"


def schedule_words(view: View, part: str) -> Words:
    """Return the words and figures of one time programme."""
    it = view.site.schedules[part]
    return {
        "does": it.does,
        "at": it.at,
        "zones": some_none(it.zones or (), it.zones is not None),
        "days": some_none(it.days or (), it.days is not None),
    }
