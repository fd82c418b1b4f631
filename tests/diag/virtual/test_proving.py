"""A sound site makes all its proving movements: by switch, from the panel, by itself, for smoke and for weather."""

from __future__ import annotations

from datetime import datetime

import pytest

from diag.campus import build_campus
from diag.virtual.noticing import complaints
from diag.virtual.noticing_drives import design_end_mm
from diag.virtual.panel import fan_state, smoke_test, smoke_zones
from diag.virtual.runs import DriveRun
from diag.virtual.site import VirtualSite
from tests.diag.virtual.sites import NAMES, topology_named, virtual

SWITCHES = [
    (name, part) for name in NAMES for part, it in topology_named(name).site.inputs.items() if it.kind == "switch"
]
ZONES = [(name, zone) for name in NAMES for zone in topology_named(name).site.zones]


def meant(site: VirtualSite, zone: str) -> set[str]:
    """Return the drives of a zone's described openings."""
    return {it for it in site.topology.consumers_of_zone(zone) if it in site.fitted.drives}


def fully_open(site: VirtualSite, runs: dict[str, DriveRun]) -> set[str]:
    """Return the drives that came to the end they are meant to come to."""
    return {
        it
        for it, run in runs.items()
        if run.stop == "end" and run.position_mm == pytest.approx(design_end_mm(site, it))
    }


@pytest.mark.parametrize("seed", range(6))
def test_nobody_complains_of_a_sound_site_built_at_random(seed: int) -> None:
    assert complaints(VirtualSite(build_campus(controllers=1 + seed % 3, drives=12 + seed, seed=seed))) == []


@pytest.mark.parametrize(("name", "switch"), SWITCHES)
def test_a_switch_opens_its_zone_fully_and_closes_it_again(name: str, switch: str) -> None:
    site = virtual(name=name)
    (zone,) = site.fitted.inputs[switch].zones
    opened = site.press(switch, "open")
    assert fully_open(site, dict(opened.runs)) == set(opened.moved) == meant(site, zone)
    closed = site.press(switch, "close")
    assert {it: run.position_mm for it, run in closed.runs.items()} == dict.fromkeys(meant(site, zone), 0.0)


@pytest.mark.parametrize(("name", "zone"), ZONES)
def test_the_panel_opens_a_zone_fully(name: str, zone: str) -> None:
    site = virtual(name=name)
    assert fully_open(site, dict(site.command_at_panel(zone, "open").runs)) == meant(site, zone)


@pytest.mark.parametrize(("name", "zone"), ZONES)
def test_automatic_opens_a_zone_no_faster_than_a_hand(name: str, zone: str) -> None:
    site = virtual(name=name)
    by_itself = site.automatic(zone).runs
    site.close_all()
    by_hand = site.command_at_panel(zone, "open").runs
    assert set(by_itself) == meant(site, zone)
    assert all(by_itself[it].seconds >= by_hand[it].seconds - 1e-6 for it in by_itself)


def test_a_smoke_test_opens_every_smoke_drive_within_sixty_seconds() -> None:
    site = virtual()
    assert smoke_zones(site) == ["za"]
    runs = smoke_test(site, "za").runs
    assert fully_open(site, dict(runs)) == {"d7", "d8", "d9", "d10", "d11", "d12"}
    assert max(it.seconds for it in runs.values()) <= 60.0


@pytest.mark.parametrize(("kind", "name"), [("rain", "medium"), ("wind", "medium"), ("rain", "small")])
def test_weather_closes_what_a_hand_opened(kind: str, name: str) -> None:
    site = virtual(name=name)
    zone = next(zone for zone in site.fitted.zones if kind in kinds_at(site, zone))
    site.command_at_panel(zone, "open")
    site.around.raining, site.around.wind_m_s = kind == "rain", 15.0 if kind == "wind" else 2.0
    runs = site.wait(1)
    assert {it: run.position_mm for it, run in runs.items() if it in meant(site, zone)} == dict.fromkeys(
        meant(site, zone), 0.0
    )


def kinds_at(site: VirtualSite, zone: str) -> set[str | None]:
    """Return the kinds of input that act on a zone."""
    return {site.topology.site.inputs[it].kind for it in site.topology.inputs_of_zone(zone)}


def test_a_hot_room_opens_by_itself_and_a_cool_one_closes_again() -> None:
    site = virtual(name="small")
    site.around.room_c = 26.0
    assert set(site.wait(2)) == {"d1", "d2", "d3", "d4", "d5"}
    site.around.room_c = 18.0
    runs = site.wait(2)
    assert all(run.position_mm == 0.0 for run in runs.values())


def test_a_time_programme_opens_and_closes_at_its_times() -> None:
    site = virtual()
    site.around.at = site.around.began = datetime(2026, 5, 8, 6, 58)  # a Friday
    opened = site.wait(4)
    assert {it for it, run in opened.items() if run.moved_mm > 3} == {"d13", "d14"}
    closed = site.wait(45)
    assert {it for it, run in closed.items() if run.moved_mm < -3} == {"d13", "d14"}


@pytest.mark.parametrize(("name", "fan"), [("medium", "f1"), ("workshop", "f1")])
def test_a_fan_runs_on_demand_and_rests_without(name: str, fan: str) -> None:
    site = virtual(name=name)
    assert fan_state(site, fan, demanded=True) == "runs"
    assert fan_state(site, fan, demanded=False) == "still"
