"""Try a zone of a virtual site from where a person would, and leave it as it was found."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from diag.virtual.contacts import Side
from diag.virtual.site import Response, VirtualSite

SEEN_MM = 3.0


@contextmanager
def fresh(site: VirtualSite, share: float = 0.0) -> Iterator[None]:
    """Put all drives at a share of their stroke, and forget hand commands afterwards."""
    site.stand_at(share)
    before = dict(site.commands.by_hand)
    yield
    site.commands.by_hand = before
    site.close_all()


def switch_of(site: VirtualSite, zone: str) -> str | None:
    """Return the wall switch of a zone."""
    inputs = site.topology.site.inputs
    return next((it for it in site.topology.inputs_of_zone(zone) if inputs[it].kind == "switch"), None)


def from_switch(site: VirtualSite, zone: str, side: Side, share: float) -> Response:
    """Press the zone's switch, or command it at the panel where it has none."""
    switch = switch_of(site, zone)
    with fresh(site, share):
        return site.press(switch, side) if switch else site.command_at_panel(zone, side)
