"""The strongest command that is not refused stands, and hold-offs, lockouts and programmes last as described."""

from __future__ import annotations

from datetime import datetime, timedelta
from random import Random

import pytest

from diag.timeline.clock import moment
from diag.timeline.events import LogEvent
from diag.timeline.levels import full_order
from diag.timeline.prepare import prepare
from diag.timeline.standing import standing_at
from diag.virtual.contacts import Side
from diag.virtual.faults import Fault
from diag.virtual.site import VirtualSite
from tests.diag.virtual.sites import NAMES, site_named, virtual


def standing_of(site: VirtualSite, zone: str) -> tuple[str, str] | None:
    """Return class and action of what stands for a zone."""
    found = site.commands.standing(zone)
    return (found.command, found.action) if found else None


def test_a_hold_off_keeps_automatic_out_for_its_minutes_and_no_longer() -> None:
    site = virtual()
    site.press("sw-n", "close")
    site.wait(29)
    assert site.automatic("zn").moved == ()
    site.wait(1)
    assert len(site.automatic("zn").moved) == 3


def test_a_hold_off_set_too_long_still_runs_after_the_usual_one() -> None:
    site = virtual(Fault("hold-off-too-long", "zn", 0.5))
    site.wait(30)
    assert site.automatic("zn").moved == ()


def test_a_refused_hand_command_starts_no_hold_off() -> None:
    site = virtual()
    site.around.raining = True
    assert site.press("sw-n", "open").refused_by is not None
    assert site.commands.hold_off_left_min("zn") == 0.0


def test_a_rain_lockout_stands_for_its_release_time_after_the_rain() -> None:
    site = virtual()
    site.around.raining = True
    site.wait(1)
    site.around.raining = False
    site.wait(14)
    assert standing_of(site, "zn") == ("rain", "close")
    site.wait(2)
    assert standing_of(site, "zn") != ("rain", "close")


def test_a_hand_command_that_rain_has_undone_does_not_come_back_after_it() -> None:
    site = virtual(name="small")
    site.press("sw-b", "open")
    site.around.raining = True
    site.wait(1)
    site.around.raining = False
    assert all(run.moved_mm <= 0 for run in site.wait(15).values())


def test_smoke_passes_everything() -> None:
    site = virtual()
    site.around.raining, site.around.wind_m_s, site.around.smoke = True, 20.0, True
    site.fitted.inputs["ks"].key_turned = True
    assert standing_of(site, "za") == ("smoke", "open")


def test_a_turned_service_key_stops_comfort_and_lets_smoke_pass() -> None:
    site = virtual(Fault("key-switch-off", "ks"))
    assert site.press("sw-a", "open").moved == ()
    assert len(site.command(("za",), "open", "smoke").moved) == 6


def test_in_winter_sensors_do_not_open_and_a_hand_does() -> None:
    site = virtual()
    site.around.move_to(month=1)
    assert site.automatic("zn").moved == ()
    assert len(site.press("sw-n", "open").moved) == 3


@pytest.mark.parametrize("name", NAMES)
def test_the_order_is_that_of_the_timeline_whatever_the_site_leaves_out(name: str) -> None:
    order = full_order(site_named(name).precedence)
    assert virtual(name=name).commands.order() == order


@pytest.mark.parametrize(("name", "zone", "kind"), [("small", "za", "rain"), ("medium", "zn", "wind")])
def test_a_stuck_lockout_is_of_a_kind_that_the_zone_has(name: str, zone: str, kind: str) -> None:
    assert standing_of(virtual(Fault("lockout-stuck", zone), name=name), zone) == (kind, "close")


def test_a_wrong_order_lets_a_hand_pass_the_weather() -> None:
    site = virtual(Fault("command-order-wrong", "zn"))
    site.around.raining = True
    assert len(site.press("sw-n", "open").moved) == 3


def test_a_value_left_on_the_link_outranks_automatic_and_not_a_hand() -> None:
    site = virtual(Fault("link-priority-held", "bl1"))
    assert site.automatic("zn").moved == ()
    assert len(site.press("sw-n", "open").moved) == 3


def test_a_latched_alarm_keeps_smoke_openings_open() -> None:
    site = virtual(Fault("alarm-latched", "c1"))
    site.put("za", is_open=True)
    assert site.press("sw-a", "close").moved == ()


@pytest.mark.parametrize("seed", range(12))
def test_what_stands_agrees_with_the_timeline_over_two_hours_of_random_commands_and_weather(seed: int) -> None:
    """An independent replay of the same events gives the same command for every zone, minute by minute."""
    dice, site, plan = Random(seed), virtual(), prepare(site_named("medium"))
    events: list[LogEvent] = []
    for _ in range(24):
        site.wait(5)
        now = moment(site.around.at, plan.time_zone)
        events += _something_happens(site, dice, now)
        played = standing_at(plan, events, now + timedelta(seconds=30))
        for zone in site.fitted.zones:
            command = played[zone].command
            told = (command.command_class, command.action) if command and not command.is_spent else None
            found = standing_of(site, zone)
            if found == ("manual", "stop") or (found and found[0] == "automatic"):
                found = None  # a hand command that is spent; and the replay is given no temperatures
            assert found == told, (zone, events)


SIDES: tuple[Side, ...] = ("open", "close")


def _something_happens(site: VirtualSite, dice: Random, now: datetime) -> list[LogEvent]:
    what = dice.choice(["hand", "hand", "rain", "wind", "key", "nothing"])
    if what == "hand":
        switch, side = dice.choice(["sw-n", "sw-s", "sw-a", "sw-d"]), dice.choice(SIDES)
        site.press(switch, side)
        return [LogEvent(now, switch, side, 1.5)]
    if what == "rain":
        site.around.raining = not site.around.raining
        return [LogEvent(now, "rain", "on" if site.around.raining else "off")]
    if what == "wind":
        site.around.wind_m_s = 15.0 if site.around.wind_m_s < 10 else 2.0
        return [LogEvent(now, "wind", "reading", site.around.wind_m_s)]
    if what == "key":
        key = site.fitted.inputs["ks"]
        key.key_turned = not key.key_turned
        return [LogEvent(now, "ks", "on" if key.key_turned else "off")]
    return []
