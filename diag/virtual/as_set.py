"""Write the values that a virtual site is really set to into its description; what belongs to what stays as drawn."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic import BaseModel

from diag.site import Site
from diag.virtual.fitted import Fitted

Changes = Mapping[str, Mapping[str, Any]]


def as_set(site: Site, fitted: Fitted) -> Site:
    """Return the description with the settings and plates that are really there; wiring and wear do not show in it."""
    return site.model_copy(
        update={
            "controllers": _updated(site.controllers, _controllers(fitted)),
            "outputs": _updated(site.outputs, _outputs(site, fitted)),
            "drives": _updated(site.drives, _drives(site, fitted)),
            "zones": _updated(site.zones, _zones(site, fitted)),
            "inputs": _updated(site.inputs, _inputs(site, fitted)),
            "lockouts": _updated(site.lockouts, _lockouts(site, fitted)),
        }
    )


def _updated(parts: Mapping[str, Any], changes: Changes) -> dict[str, BaseModel]:
    return {part: it.model_copy(update=dict(changes.get(part, {}))) for part, it in parts.items()}


def _controllers(fitted: Fitted) -> Changes:
    return {
        part: {"comfort_on_battery": False}
        for part, it in fitted.controllers.items()
        if it.has_battery and not it.comfort_on_battery
    }


def _outputs(site: Site, fitted: Fitted) -> Changes:
    return {
        part: ({"expected_drives": it.expected} if it.expected is not None else {})
        | ({} if it.enabled else {"enabled": False})
        | ({"run_time_s": it.run_time_s} if site.outputs[part].run_time_s else {})
        for part, it in fitted.outputs.items()
    }


def _drives(site: Site, fitted: Fitted) -> Changes:
    changes: dict[str, dict[str, Any]] = {}
    for part, it in fitted.drives.items():
        described = site.drives[part]
        found: dict[str, Any] = {}
        if described.addressable and not it.addressable:
            found["addressable"] = False
        if it.address != described.address:
            found["address"] = it.address
        if it.other_voltage:
            found["supply_voltage_v"] = 230.0 if (described.supply_voltage_v or 24.0) < 60 else 24.0
        changes[part] = found
    return changes


def _zones(site: Site, fitted: Fitted) -> Changes:
    changes: dict[str, dict[str, Any]] = {}
    for part, it in fitted.zones.items():
        described = site.zones[part]
        found: dict[str, Any] = {} if it.automatic_enabled else {"automatic_enabled": False}
        if it.hold_off_minutes != (described.hold_off_minutes or 0.0):
            found["hold_off_minutes"] = it.hold_off_minutes
        if it.limit_mm != described.opening_limit_mm:
            found["opening_limit_mm"] = it.limit_mm
        changes[part] = found
    return changes


def _inputs(site: Site, fitted: Fitted) -> Changes:
    changes: dict[str, dict[str, Any]] = {}
    for part, it in fitted.inputs.items():
        described = site.inputs[part]
        found: dict[str, Any] = {}
        if not it.tap_stops:
            found["tap_does"] = None if described.tap_does is None else "nothing"
        if it.set_point != described.set_point:
            found["set_point"] = it.set_point
        if described.hold_threshold_s and it.hold_threshold_s != described.hold_threshold_s:
            found["hold_threshold_s"] = it.hold_threshold_s
        changes[part] = found
    return changes


def _lockouts(site: Site, fitted: Fitted) -> Changes:
    return {
        part: {"limit": fitted.inputs[it.input].limit}
        for part, it in site.lockouts.items()
        if it.input in fitted.inputs and it.limit is not None
    }
