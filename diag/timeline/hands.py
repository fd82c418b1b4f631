"""What a press of a switch asks for: a tap and a hold may do different things."""

from __future__ import annotations

from diag.timeline.plan import InputPlan

RUN_TO_END = "run-to-end"


def pressed_action(it: InputPlan, direction: str, seconds: float | None) -> str:
    """Return open, close, stop, step or nothing for a press one way.

    Without seconds the press is a plain command that way. A press as long as the threshold is a hold; where no
    threshold is described every press counts as a hold.
    """
    asked = it.directions.get(direction, direction)
    if seconds is None or asked not in ("open", "close"):
        return asked
    is_tap = it.hold_threshold_s is not None and seconds < it.hold_threshold_s
    does = it.tap_does if is_tap else it.hold_does
    return asked if does is None or does == RUN_TO_END else does
