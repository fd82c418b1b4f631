"""What a caller at a virtual site tells besides the complaint, each thing only now and then."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

from diag.virtual.site import VirtualSite

TOLD_SHARE = 0.35
BY_WEATHER = {"cold": "when-cold", "hot": "when-hot", "wet": "when-wet", "windy": "when-windy"}
BY_BEGINNING = {
    "never-worked": ("never-worked",),
    "after-work": ("worked-before",),
    "suddenly": ("suddenly", "worked-before"),
    "gradually": ("gradually", "worked-before"),
}


def told(site: VirtualSite, dice: Random) -> frozenset[str]:
    """Return the circumstances that the caller mentions, by id."""
    return frozenset(it for it in _tellable(site) if dice.random() < TOLD_SHARE)


def _tellable(site: VirtualSite) -> Iterator[str]:
    history = site.history
    yield from BY_BEGINNING[history.began]
    if history.weather in BY_WEATHER:
        yield BY_WEATHER[history.weather]
    if history.comes_and_goes:
        yield "intermittent"
    if history.power_cut:
        yield "after-power-cut"
    if history.replaced != "none":
        yield "after-replacement"
    if history.settings != "no":
        yield "after-settings-copied"
    if history.trades:
        yield "after-building-work"
    if history.alarm != "no":
        yield "after-smoke-test"
    if any(it.manual_minutes_ago is not None for it in site.fitted.zones.values()):
        yield "used-by-hand"
    if any(site.bus(it).on_battery for it in site.topology.of_kind("controller")):
        yield "on-battery"
