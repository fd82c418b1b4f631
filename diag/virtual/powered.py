"""Command a zone of a virtual site and measure while it runs: volts and amperes, part by part."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from diag.virtual.electrics import OutputState
from diag.virtual.site import VirtualSite


@dataclass(frozen=True)
class Powered:
    """An output while its drives are commanded: whether the command gets to it, and what is there then."""

    commanded: bool
    stage_v: float
    state: OutputState
    drawn_a: Mapping[str, float]
    sign: int

    def volts(self, part: str) -> float:
        """Return the volts at a drive, junction or the output itself."""
        return self.sign * self.state.voltages_v.get(part, 0.0)


def zones_of_drive(site: VirtualSite, drive: str) -> list[str]:
    """Return the zones whose command moves the drive, as set now; else those that are meant to."""
    now = [zone for zone in site.fitted.zones if drive in site.commanded_drives(zone)]
    return now or list(site.topology.zones_of_opening(site.topology.site.drives[drive].opening or ""))


def zones_of_output(site: VirtualSite, output: str) -> list[str]:
    """Return the zones that the output's consumers belong to."""
    drives = [it for it in site.topology.consumers_of_output(output) if it in site.fitted.drives]
    return list(dict.fromkeys(zone for it in drives for zone in zones_of_drive(site, it)))


def is_commanded(site: VirtualSite, zone: str, way: str = "open") -> bool:
    """Return whether a hand command at the controller is obeyed for this zone."""
    controllers = {site.topology.site.outputs[it].controller for it in site.outputs_of(zone)}
    deaf = any(not site.bus(it).alive for it in controllers if it)
    if deaf or site.kept_back(zone, "manual") or not site.fitted.zones[zone].openings:
        return False
    return site.commands.refused(zone, "manual", "open" if way == "open" else "close") is None


def powered(site: VirtualSite, output: str, alone: str | None = None, loaded: bool = True) -> Powered:
    """Return the state of an output while its zones are commanded, a drive alone on it or all.

    They are commanded open; where that is refused, or where only closing fails, they are commanded closed. The volts
    count as the command asks.
    """
    all_zones = zones_of_output(site, output)
    zones, way = [it for it in all_zones if is_commanded(site, it)], 1
    if not zones:
        zones, way = [it for it in all_zones if is_commanded(site, it, "close")], -1
    condition = site.fitted.outputs[output]
    described = site.topology.site.outputs[output]
    commanded = bool(zones) or described.kind == "fan-contact" or condition.stuck is not None
    drives = {it for zone in zones for it in site.commanded_drives(zone)}
    drives &= {alone} if alone else set(site.topology.consumers_of_output(output))
    running = [it for it in sorted(drives) if loaded and site.driving.refuses(it, way) is None]
    drawn = {it: site.mover.draw_a(it, way) for it in running}
    stage = site.feed.volts_at_stage(output, sum(drawn.values())) if commanded else 0.0
    dumb = described.kind not in ("data-24v", "positioner-0-10v", "positioner-4-20ma", "fan-contact")
    if (dumb and not condition.kind_fits) or condition.crossed_with or not (condition.opens and condition.closes):
        stage = 0.0
    state = site.feed.state_at(output, stage, drawn, loaded)
    return Powered(commanded, stage, state, drawn, -1 if condition.stuck == "close" else 1)


def field_volts(site: VirtualSite, output: str, part: str, alone: str | None = None) -> float:
    """Return the volts at a part beyond the output while it is commanded."""
    if site.fitted.outputs[output].terminals == "wrong-terminal":
        return 0.0
    return powered(site, output, alone).volts(part)
