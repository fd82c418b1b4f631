"""Days of commands: when a zone opens by itself, worked out by hand beside the timeline."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from random import Random

import pytest

from diag.training.day import Day, Weather, draw_day, keep_day, kept_day
from diag.training.day_played import opens_at, played
from diag.training.day_told import mistakes, tell_day
from diag.training.item import Level
from diag.training.workshop import Workshop

WARM = Day(
    zone="zn",
    date=date(2026, 7, 1),
    asks="09:30",
    sensor="th1",
    presses=("10:05",),
    switch="sw-n",
    weather=None,
    asked="10:20",
)


def test_a_hand_command_keeps_automatic_out_for_thirty_minutes(workshop: Workshop) -> None:
    assert opens_at(workshop, WARM) == "10:35"


def test_a_second_hand_command_begins_the_time_anew(workshop: Workshop) -> None:
    assert opens_at(workshop, replace(WARM, presses=("10:05", "10:18"))) == "10:48"


def test_rain_holds_it_until_its_lockout_is_released(workshop: Workshop) -> None:
    """The rain lockout of this site stays for 15 minutes."""
    wet = replace(WARM, presses=(), weather=Weather("rain", "10:00", "10:10"), asked="10:12")

    assert opens_at(workshop, wet) == "10:25"


def test_the_later_of_hold_off_and_lockout_counts(workshop: Workshop) -> None:
    """Hold-off until 10:35; wind below its limit at 10:40 and 20 minutes of release: 11:00."""
    assert opens_at(workshop, replace(WARM, weather=Weather("wind", "10:15", "10:40"), asked="10:45")) == "11:00"


def test_a_zone_that_is_open_already_gives_no_question(workshop: Workshop) -> None:
    assert opens_at(workshop, replace(WARM, presses=(), asked="10:20")) is None


def test_a_demand_at_the_time_asked_opens_at_once(workshop: Workshop) -> None:
    assert opens_at(workshop, replace(WARM, asks="10:50", asked="10:50")) == "10:50"


def test_the_explanation_ends_with_the_opening(workshop: Workshop) -> None:
    said = played(workshop, WARM)

    assert said.startswith("09:30 Room thermostat: opens automatically.")
    assert "10:35 Room thermostat: opens automatically" in said


def test_the_stem_tells_events_in_order_of_time(workshop: Workshop) -> None:
    told = tell_day(workshop, replace(WARM, weather=Weather("rain", "09:50", "10:00")))
    times = [it[:5] for it in told if it[2:3] == ":"]

    assert times == ["09:50", "10:00", "10:05"]


def test_forgetting_the_hold_off_is_among_the_mistakes(workshop: Workshop) -> None:
    assert "10:20" in {it.at for it in mistakes(workshop, WARM)}


@pytest.mark.parametrize("level", [1, 2, 3])
def test_drawn_days_come_back_from_their_evidence(workshop: Workshop, level: Level) -> None:
    for seed in range(10):
        day = draw_day(workshop, Random(seed), level)

        assert day is not None
        assert kept_day(keep_day(day)) == day
