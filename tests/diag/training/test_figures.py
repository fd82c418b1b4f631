"""Readings to ask for, worked out again by hand."""

from __future__ import annotations

from random import Random

import pytest

from diag.training.figures.figure import Figure
from diag.training.kinds.reading_here import ASKED
from diag.training.workshop import Workshop


def figure(workshop: Workshop, name: str, *setting: str | float) -> Figure:
    """Return the figure of one kind of reading."""
    return ASKED[name].figure(workshop, setting)


def test_beyond_a_broken_core_there_is_nothing_and_before_it_all_of_it(workshop: Workshop) -> None:
    assert figure(workshop, "core-broken", "out3", "k10", "d7", 24.0).right == pytest.approx(0, abs=0.1)
    assert figure(workshop, "core-broken", "out3", "k10", "j3", 24.0).right == pytest.approx(24, rel=0.06)


def test_exchanged_cores_turn_the_sign_beyond_them_and_not_before(workshop: Workshop) -> None:
    assert figure(workshop, "cores-swapped", "out3", "k10", "d7", 24.0).right < -20
    assert figure(workshop, "cores-swapped", "out3", "k10", "j3", 24.0).right > 20


def test_a_bad_joint_takes_its_ohms_times_the_current_through_it(workshop: Workshop) -> None:
    """Four drives at 1.2 A through 1.5 ohm take 7.2 V; the sound reading is told in the question."""
    made = figure(workshop, "bad-joint", "out3", "k9", "d7", 1.5)
    sound = next(it.value for it in made.guesses if "takes voltage" in it.mistake)

    assert made.right == pytest.approx(sound - 7.2, abs=0.06)


def test_a_short_along_a_cable_shows_its_cores_there_and_back(workshop: Workshop) -> None:
    """20 m at 12.1 ohm/km (IEC 60228 class 2, 1.5 mm2, 20 C) are 0.242 ohm, there and back 0.484."""
    assert figure(workshop, "loop", "k20", 20.0).right == pytest.approx(0.484, abs=0.005)


def test_resistors_of_a_supervised_line(workshop: Workshop) -> None:
    """10 kilohm alone, two of them side by side, and 1 kilohm beside one: 909 ohm."""
    assert figure(workshop, "supervised-line", "sd1", "line-healthy").right == 10_000
    assert figure(workshop, "supervised-line", "sd1", "line-second").right == 5_000
    assert figure(workshop, "supervised-line", "sd1", "line-alarm").right == pytest.approx(909.1, abs=0.1)


def test_a_platinum_sensor_at_thirty_degrees(workshop: Workshop) -> None:
    """IEC 60751: 1116.73 ohm at 30 C."""
    assert figure(workshop, "sensor-ohms", "th1", 30.0).right == pytest.approx(1116.73, abs=0.05)


def test_a_current_signal_begins_at_four_milliamperes(workshop: Workshop) -> None:
    """A quarter of 0 to 40 m/s is 4 mA and a quarter of 16 mA."""
    assert figure(workshop, "sensor-signal", "wind", 0.25).right == pytest.approx(8.0)


def test_the_time_of_a_movement_is_way_by_speed(workshop: Workshop) -> None:
    assert figure(workshop, "travel", "d7", "travel-manual", 1.0).right == pytest.approx(600 / 8)
    assert figure(workshop, "travel", "d7", "travel-automatic", 0.5).right == pytest.approx(300 / 4)


def test_currents_of_drives_that_run_add_up(workshop: Workshop) -> None:
    assert figure(workshop, "total-current", "out1", 2.0).right == pytest.approx(1.8)


@pytest.mark.parametrize("name", ASKED)
def test_wrong_values_are_away_from_the_right_one_and_from_each_other(workshop: Workshop, name: str) -> None:
    for setting in ASKED[name].settings(workshop, Random(1)):
        made = ASKED[name].figure(workshop, setting)
        values = [made.right, *(it.value for it in made.wrong())]

        assert len(values) >= 3
        assert all(abs(one - other) > made.apart for at, one in enumerate(values) for other in values[:at])
