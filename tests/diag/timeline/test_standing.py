"""What stands at one moment agrees with the timeline, and with the 16 levels as a building engineer reads them."""

from __future__ import annotations

from datetime import datetime, timedelta
from random import Random

import pytest

from diag.observations import Event
from diag.timeline.events import LogEvent, from_case
from diag.timeline.play import play
from diag.timeline.standing import Standing, array_at, standing_at
from tests.diag.timeline.told import at, events, medium, plan_of, played

TEN_PAST = datetime(2026, 5, 4, 10, 10)


def asked(told: list[Event], minutes: float, zone: str = "zn") -> Standing:
    """Return what stands so many minutes after ten past ten, from the events of a case."""
    plan = medium()
    moment = at(plan, "10:10") + timedelta(minutes=minutes)
    return standing_at(plan, from_case(told, plan.zones, plan.time_zone), moment)[zone]


@pytest.mark.parametrize(("minutes", "state"), [(0, "running"), (29.99, "running"), (30, "over"), (31, "over")])
def test_automatic_works_again_at_the_very_end_of_the_hold_off(minutes: float, state: str) -> None:
    now = asked([Event(TEN_PAST, "manual", "zn")], minutes)

    assert now.hold_off.state == state
    assert now.hold_off.resumes_at == (at(medium(), "10:40") if state == "running" else None)


def test_a_command_after_the_moment_does_not_count() -> None:
    assert asked([Event(TEN_PAST, "manual", "zn")], -1).hold_off.state == "unknown"


def test_a_hand_command_at_a_named_switch_reaches_its_zone_only() -> None:
    told = [Event(TEN_PAST, "manual", "sw-n")]

    assert asked(told, 5).hold_off.state == "running"
    assert asked(told, 5, "zs").hold_off.state == "unknown"


def test_a_hand_command_at_no_named_part_counts_for_every_zone() -> None:
    assert asked([Event(TEN_PAST, "manual")], 5, "za").hold_off.state == "running"


def test_a_hand_command_at_a_drive_counts_for_the_zone_of_its_opening() -> None:
    assert asked([Event(TEN_PAST, "manual", "d4")], 5, "zs").hold_off.state == "running"


def test_a_hand_command_that_rain_refused_starts_no_hold_off() -> None:
    now = asked([Event(TEN_PAST - timedelta(minutes=5), "rain"), Event(TEN_PAST, "manual", "zn")], 5)

    assert now.lockouts["lo-rain"] == "standing"
    assert now.command is not None
    assert now.command.source == "rain"
    # Which way the hand command went is not known, and rain refuses opening only: it lost by precedence.
    assert now.hold_off.state == "unknown"


def test_lockouts_are_standing_clear_or_unknown() -> None:
    assert asked([], 0).lockouts == {
        "lo-rain": "unknown",
        "lo-wind": "unknown",
        "lo-season": "clear",
        "lo-service": "unknown",
    }
    assert asked([Event(TEN_PAST, "wind")], 1).lockouts["lo-wind"] == "standing"


def test_a_zone_without_hold_off_has_none_and_one_not_described_is_unknown() -> None:
    for text, state in (("{hold_off_minutes: 0}", "none"), ("{}", "unknown")):
        plan = plan_of(f"zones: {{z1: {text}}}\n")
        told = from_case([Event(TEN_PAST, "manual")], plan.zones, plan.time_zone)

        assert standing_at(plan, told, at(plan, "10:15"))["z1"].hold_off.state == state


def test_what_is_due_next_is_the_end_of_the_hold_off() -> None:
    due = asked([Event(TEN_PAST, "manual", "sw-n")], 5).due

    assert due is not None
    assert (due.what, due.part, due.at) == ("hold-off-over", "sw-n", at(medium(), "10:40"))


def test_only_the_zones_asked_for_are_answered() -> None:
    plan = medium()

    assert list(standing_at(plan, [], at(plan, "10:00"), ["zs"])) == ["zs"]


def test_levels_show_what_is_asked_and_what_is_refused() -> None:
    plan = medium()
    told = events(plan, "10:00,th1,on", "10:05,bl1,write,close,zn,9", "10:10,sw-n,open", "10:20,ks,on")
    slots = array_at(plan, told, at(plan, "10:21"), "zn")
    filled = {it.level: (it.command.action, it.command.source, it.refused_by) for it in slots if it.command}

    assert len(slots) == 16
    assert filled == {
        3: ("stop", "ks", None),
        8: ("open", "sw-n", None),
        9: ("close", "bl1", "lo-service"),
        11: ("open", "th1", "lo-service"),
    }


SAID = (
    "sw-n,open,1", "sw-n,close,1", "sw-n,open,0.2", "sw-s,close,", "th1,reading,25", "th1,reading,20", "rain,on,",
    "rain,off,", "wind,reading,14", "wind,reading,3", "ks,on,", "ks,off,", "sd1,on,", "sd1,off,", "cp1,reset,",
    "bl1,write,open,,9", "bl1,write,0,zn,8", "bl1,relinquish,,,8", "bl1,relinquish,,,9", "zn,automatic-off,",
    "c1,automatic-on,", "co2,reading,1200", "co2,reading,700", "sw-d,stop,",
)  # fmt: skip


def random_log(random: Random, count: int) -> list[LogEvent]:
    """Return events of the medium site, up to 20 minutes from one to the next, over clock changes and nights."""
    start = random.choice(("2026-05-20 21:00", "2026-10-24 22:00", "2026-03-28 22:00", "2026-10-31 20:00"))
    moment = at(medium(), start)
    found = []
    for _ in range(count):
        moment += timedelta(seconds=random.randrange(1200))
        text = f"{moment.isoformat()},{random.choice(SAID)}"
        found += events(medium(), text)
    return found


@pytest.mark.parametrize("seed", range(40))
def test_a_moment_asked_for_alone_agrees_with_the_timeline_and_the_levels(seed: int) -> None:
    plan, random = medium(), Random(seed)
    told = random_log(random, 40)
    whole = play(plan, told)
    for _ in range(15):
        moment = told[0].at + (whole.end - told[0].at) * random.random()
        for zone, now in standing_at(plan, told, moment).items():
            (span,) = (it for it in whole.spans[zone] if it.start <= moment < it.end)
            assert now.command == span.command
            levels = [it.command for it in array_at(plan, told, moment, zone) if it.command and not it.refused_by]
            passed = now.command is None or now.command.command_class == "manual"
            assert passed or levels[0] == now.command


def test_playing_twice_gives_the_same() -> None:
    assert played(medium(), "10:00,rain,on") == played(medium(), "10:00,rain,on")
