"""Measure mains, supplies and batteries of a virtual site."""

from __future__ import annotations

from collections.abc import Mapping

from diag.virtual.site import VirtualSite
from diag.virtual.supply import RATED_V, battery_after_load, battery_rest_voltage, has_mains
from diag.virtual_checks.found import Found, Perform


def rated_v(site: VirtualSite, controller: str) -> float:
    """Return the described voltage of a controller."""
    supply = site.topology.site.controllers[controller].supply
    return (supply.rated_voltage_v if supply else None) or RATED_V


def _current_supply(site: VirtualSite, controller: str) -> Found:
    load = drives_load_a(site, controller) + site.fitted.controllers[controller].extra_load_a
    supply = site.topology.site.controllers[controller].supply
    limit = (supply.rated_current_a if supply else None) or 10.0
    return "over-rating" if load > limit else "normal"


def drives_load_a(site: VirtualSite, controller: str) -> float:
    """Return what all drives of a controller draw together."""
    outputs = site.topology.outputs_of_controller(controller)
    drives = [it for output in outputs for it in site.topology.consumers_of_output(output) if it in site.fitted.drives]
    return sum(site.topology.site.drives[it].running_current_a or 1.0 for it in drives)


def _supply_idle(site: VirtualSite, controller: str) -> Found:
    return site.bus(controller).voltage_v


def _supply_loaded(site: VirtualSite, controller: str) -> Found:
    return site.bus(controller, drives_load_a(site, controller)).voltage_v


def _power_unit(site: VirtualSite, controller: str) -> Found:
    it = site.fitted.controllers[controller]
    return rated_v(site, controller) * it.unit_voltage_share if has_mains(it) and it.fuse_whole else 0.0


def _mains(site: VirtualSite, controller: str) -> Found:
    return 231.0 if has_mains(site.fitted.controllers[controller]) else 0.0


def _isolator(site: VirtualSite, controller: str) -> Found:
    return 231.0 if site.fitted.controllers[controller].isolator_on else 0.0


def _battery_rest(site: VirtualSite, controller: str) -> Found:
    return battery_rest_voltage(site.fitted.controllers[controller], rated_v(site, controller))


def _battery_load(site: VirtualSite, controller: str) -> Found:
    return battery_after_load(site.fitted.controllers[controller], rated_v(site, controller), charged=False)


def _battery_charged(site: VirtualSite, controller: str) -> Found:
    return battery_after_load(site.fitted.controllers[controller], rated_v(site, controller), charged=True)


def _charger(site: VirtualSite, controller: str) -> Found:
    it = site.fitted.controllers[controller]
    if not has_mains(it) or not it.fuse_whole or it.unit_voltage_share < 0.9:
        return 0.0
    return it.charger_share * 13.7 * rated_v(site, controller) / 12.0


SUPPLIES: Mapping[str, Perform] = {
    "current-supply-total": _current_supply,
    "volts-supply-idle": _supply_idle,
    "volts-supply-loaded": _supply_loaded,
    "volts-power-unit-alone": _power_unit,
    "volts-mains": _mains,
    "volts-isolator": _isolator,
    "volts-battery-rest": _battery_rest,
    "volts-battery-load": _battery_load,
    "volts-battery-after-charge": _battery_charged,
    "volts-charger": _charger,
}
"""For each supply: what the meter shows, or the outcome itself."""
