"""The plain sentences of a timeline."""

from __future__ import annotations

import pytest

from diag.timeline.names import clock_of
from diag.timeline.sentences import tell, tell_due
from tests.diag.timeline.told import medium, plan_of, played


def said(*lines: str, zone: str = "zn", until: str | None = None) -> list[str]:
    plan = medium()
    return [f"{clock_of(plan, it.at)} {it.says}" for it in tell(plan, played(plan, *lines, until=until), zone)]


def test_a_hand_command_says_until_when_automatic_waits() -> None:
    assert said("10:05,sw-n,open") == [
        "10:05 North switch: opened by hand. Automatic waits until 10:35.",
        "10:35 Nothing commands it. It stays open, last moved by north switch.",
    ]


def test_rain_its_lockout_and_a_refusal_are_told_in_order() -> None:
    assert said("10:00,sw-n,open", "10:05,rain,on", "10:06,sw-n,open", "10:07,rain,off", until="10:23") == [
        "10:00 North switch: opened by hand. Automatic waits until 10:30.",
        "10:05 Rain sensor: closes for rain.",
        "10:06 North switch: asked to open; refused by rain lockout.",
        "10:07 Rain lockout: keeps it closed since 10:05.",
        "10:22 Nothing moves it. It stays closed, last moved by rain lockout. Automatic still waits until 10:30.",
    ]


def test_a_sensor_that_had_to_wait_says_since_when_it_asks() -> None:
    assert said("10:00,sw-n,close", "10:05,th1,on")[1:] == [
        "10:08 Room thermostat: asked to open; waits, outranked by north switch.",
        "10:30 Room thermostat: opens automatically, asked since 10:08.",
    ]


def test_smoke_and_a_refused_reset_are_told() -> None:
    assert said("10:00,sd1,on", "10:05,cp1,reset", "10:06,sw-a,close", zone="za") == [
        "10:00 Atrium smoke detectors: opens for smoke.",
        "10:05 Reset refused, still in alarm: atrium smoke detectors.",
        "10:06 Atrium switch: asked to close; refused, outranked by atrium smoke detectors.",
    ]


def test_automatic_switched_off_is_named_as_the_reason() -> None:
    assert said("10:00,zn,automatic-off", "10:05,th1,on")[1] == (
        "10:08 Room thermostat: asked to open; refused, automatic is switched off (north reading room)."
    )


def test_a_time_on_another_day_carries_its_date() -> None:
    assert said("23:50,sw-n,open")[0].endswith("Automatic waits until 5 May, 00:20.")


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("10:05,sw-n,open", "10:35, north switch no longer keeps automatic out"),
        ("10:05,th1,on", "10:08, room thermostat asks, its delay being over"),
    ],
)
def test_what_is_due_next_is_told(line: str, says: str) -> None:
    plan = medium()

    assert tell_due(plan, played(plan, line, until="10:06"), "zn") == f"Next by itself: {says}."


def test_nothing_due_is_told_too() -> None:
    plan = plan_of("")

    assert tell_due(plan, played(plan, "10:05,z1,automatic-on"), "z1") == "Nothing changes by itself."


def test_times_of_the_repeated_hour_name_their_offset() -> None:
    lines = said("2026-10-25 01:50,sw-d,open", "2026-10-25 01:20,sw-d,close", zone="zd")

    assert [line[:9] for line in lines[:2]] == ["01:50 BST", "01:20 GMT"]
