"""Drives and fans are read once, with what an inspector asks of each."""

from __future__ import annotations

from diag.inspection.consumers import slowest_travel_s
from tests.diag.inspection.builders import view_of


def test_a_drive_and_a_fan_tell_what_they_draw() -> None:
    view = view_of(
        outputs={"o1": {}},
        drives={"d1": {"output": "o1", "running_current_a": 1.5, "starting_current_a": 2.5}},
        fans={"f1": {"output": "o1", "running_current_a": 0.5}},
    )

    assert (view.consumers["d1"].load.is_drive, view.consumers["f1"].load.is_drive) == (True, False)
    assert view.running_a(["d1", "f1"]) == 2.0
    assert view.starting_a(["d1"]) == 2.5
    assert view.starting_a(["d1", "f1"]) is None


def test_a_full_travel_is_taken_at_the_slowest_speed() -> None:
    assert slowest_travel_s(500, 10, 5, None, 90) == 100
    assert slowest_travel_s(500, None, None, None, 90) == 90
    assert slowest_travel_s(None, 10, None, None, None) is None
