"""What people notice of functions: automatic, weather, programme, smoke test, taps, sensors, dampers and fans."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from diag.virtual.complaint import Complaint
from diag.virtual.panel import fan_state, smoke_test, smoke_zones
from diag.virtual.positions import position_agrees, reports_position
from diag.virtual.sensing import demand, is_wet, reading, true_value
from diag.virtual.site import VirtualSite

OFF_SHARE = {"thermostat": 2.0, "temperature": 2.0, "co2": 250.0, "wind": 3.0}
"""How far a reading is off before people see it, in its own unit."""
SMOKE_S = 60.0


def function_complaints(site: VirtualSite) -> Iterator[Complaint]:
    """Yield what does not do its job though the drives may run."""
    for zone in site.fitted.zones:
        yield from _automatic(site, zone)
        yield from _weather(site, zone)
        yield from _unasked(site, zone)
        yield from _times(site, zone)
    for part in site.fitted.inputs:
        yield from _of_input(site, part)
    yield from _smoke(site)
    yield from _positions(site)
    for fan in site.fitted.fans:
        yield from _of_fan(site, fan)


def _automatic(site: VirtualSite, zone: str) -> Iterator[Complaint]:
    inputs = site.topology.site.inputs
    asking = [
        it for it in site.topology.inputs_of_zone(zone) if inputs[it].kind in ("thermostat", "temperature", "co2")
    ]
    if not asking or not site.topology.site.zones[zone].openings:
        return
    site.commands.by_hand.clear()
    site.close_all()
    response = site.automatic(zone)
    by_hand = site.command_at_panel(zone, "open").moved if not response.moved else ("yes",)
    site.commands.by_hand.clear()
    site.close_all()
    if not response.moved and by_hand:
        yield Complaint("automatic-ignored", zone, 3.0)
        yield Complaint("never-opens-for-heat", zone, 1.5)
    if response.moved and site.history.puzzled_by == zone:
        yield Complaint("moves-slowly", zone, 2.0)
    with hot_room(site):
        if by_hand and not any(_asks(site, it) for it in asking):
            yield Complaint("never-opens-for-heat", zone, 2.5)
    if by_hand and site.fitted.zones[zone].screen == "clogged":
        yield Complaint("never-opens-for-heat", zone, 2.5)


@contextmanager
def hot_room(site: VirtualSite) -> Iterator[None]:
    """Make the rooms hot and stuffy for a while."""
    around = site.around
    before = around.room_c, around.co2_ppm
    around.room_c, around.co2_ppm = 25.5, 1300.0
    yield
    around.room_c, around.co2_ppm = before


def _asks(site: VirtualSite, part: str) -> bool:
    return demand(site.topology, site.fitted, site.around, part)


def _weather(site: VirtualSite, zone: str) -> Iterator[Complaint]:
    around = site.around
    inputs = site.topology.site.inputs
    kinds = {inputs[it].kind for it in site.topology.inputs_of_zone(zone)}
    if "rain" in kinds:
        before, around.raining = around.raining, True
        if not _closes(site, zone, "rain"):
            yield Complaint("opens-in-rain", zone, 2.5)
        around.raining = before
    if "wind" in kinds:
        calm, around.wind_m_s = around.wind_m_s, 17.0
        if not _closes(site, zone, "wind"):
            yield Complaint("wont-close-in-wind", zone, 2.5)
        around.wind_m_s = calm


def _closes(site: VirtualSite, zone: str, command: str) -> bool:
    """Return whether the zone is closed by this class though a hand opened it before."""
    site.commands.by_hand[zone] = (site.around.at, "open")
    standing = site.commands.standing(zone)
    del site.commands.by_hand[zone]
    return standing is not None and (standing.command == command or standing.command in ("wind", "rain", "maintenance"))


def _unasked(site: VirtualSite, zone: str) -> Iterator[Complaint]:
    standing = site.commands.standing(zone)
    if standing and standing.command == "automatic" and standing.action == "open" and site.around.room_c < 23:
        yield Complaint("moves-unasked", zone, 2.0)
    for output in site.outputs_of(zone):
        if site.fitted.outputs[output].stuck:
            yield Complaint("moves-unasked", zone, 2.0)
            yield Complaint("keeps-running", zone, 2.5)
    for part in site.topology.inputs_of_zone(zone):
        if site.topology.site.inputs[part].kind == "switch" and site.stuck_side(part):
            yield Complaint("moves-unasked", zone, 3.0)


def _times(site: VirtualSite, zone: str) -> Iterator[Complaint]:
    if site.fitted.zones[zone].programme != "right":
        yield Complaint("wrong-time", zone, 3.0)
    if not site.topology.schedules_of_zone(zone):
        return
    if any(it.clock_off_minutes for it in site.fitted.controllers.values()):
        yield Complaint("wrong-time", zone, 2.5)


def _of_input(site: VirtualSite, part: str) -> Iterator[Complaint]:
    kind = site.topology.site.inputs[part].kind
    it = site.fitted.inputs[part]
    if kind == "switch" and not it.tap_stops:
        yield Complaint("tap-does-not-stop", part, 3.0)
    if kind in OFF_SHARE and site.topology.site.inputs[part].signal != "contact":
        true = true_value(site.topology, site.around, part)
        off = abs(reading(site.topology, site.fitted, site.around, part) - true)
        if off > OFF_SHARE[kind] or it.jumps or (it.bearing != "spins" and site.around.wind_m_s > 4):
            yield Complaint("sensor-reads-wrong", part, 2.5)
    if kind == "rain":
        wet = is_wet(site.topology, site.fitted, site.around, part)
        if wet != site.around.raining:
            yield Complaint("sensor-reads-wrong", part, 2.0)


def _smoke(site: VirtualSite) -> Iterator[Complaint]:
    for zone in smoke_zones(site):
        site.close_all()
        response = smoke_test(site, zone)
        drives = site.drives_of(zone)
        runs = [response.runs.get(it) for it in drives]
        site.close_all()
        if not response.moved:
            yield Complaint("smoke-test-no-open", zone, 2.0)
        elif all(run and run.stop == "end" for run in runs) and any(run and run.seconds > SMOKE_S for run in runs):
            yield Complaint("smoke-open-too-slow", zone, 0.8)


def _positions(site: VirtualSite) -> Iterator[Complaint]:
    for drive, it in site.fitted.drives.items():
        if reports_position(site, drive) and it.board == "sound" and not position_agrees(site, drive):
            yield Complaint("position-reads-wrong", drive, 1.0)
        if it.shaft_slips:
            yield Complaint("damper-not-following", drive, 3.0)


def _of_fan(site: VirtualSite, fan: str) -> Iterator[Complaint]:
    output = site.topology.site.fans[fan].output
    if output and site.fitted.outputs[output].stuck:
        yield Complaint("fan-never-stops", fan, 3.0)
    site.close_all()
    state = fan_state(site, fan, demanded=True)
    site.close_all()
    if state in ("still", "hums"):
        yield Complaint("fan-does-not-run", fan, 2.5)
    elif state in ("wrong-way", "little-air"):
        yield Complaint("fan-wrong-direction", fan, 3.0)
