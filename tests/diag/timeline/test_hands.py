"""Taps and holds; the usual threshold of 0.3 to 2 s is common practice, no source."""

from __future__ import annotations

import pytest

from diag.timeline.hands import pressed_action
from tests.diag.timeline.told import medium, plan_of


@pytest.mark.parametrize(
    ("direction", "seconds", "action"),
    [
        ("open", 0.3, "stop"),
        ("open", 0.79, "stop"),
        ("open", 0.8, "open"),
        ("close", 1.5, "close"),
        ("open", None, "open"),
        ("stop", 0.2, "stop"),
    ],
)
def test_a_tap_stops_and_a_hold_runs_to_the_end(direction: str, seconds: float | None, action: str) -> None:
    assert pressed_action(medium().inputs["sw-n"], direction, seconds) == action


def test_without_threshold_every_press_is_a_hold() -> None:
    switch = plan_of("inputs: {sw: {kind: switch, zones: [z1], tap_does: stop, hold_does: run-to-end}}\n").inputs["sw"]

    assert pressed_action(switch, "open", 0.1) == "open"


def test_a_switch_does_what_its_directions_are_set_to() -> None:
    switch = plan_of("inputs: {sw: {kind: switch, zones: [z1], open_does: close, close_does: open}}\n").inputs["sw"]

    assert [pressed_action(switch, it, None) for it in ("open", "close")] == ["close", "open"]
