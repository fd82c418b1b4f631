"""Tell what is a fault of this kind of installation from what is not, and say what can be typed instead."""

from __future__ import annotations

from collections.abc import Mapping

from diag.words.trained import NOTHING

MOST_FOREIGN = 0.25
"""A text that is about something else with a greater chance is declined. Chosen on phrases kept out of training."""
MERE_THINGS = frozenset({
    "opening", "one-opening", "many-openings", "window", "windows", "vent", "vents", "louvre", "drive", "drives", "fan",
    "switch", "button", "by-hand", "panel", "output", "zone", "zones", "neutral",
})  # fmt: skip
"""A text of these alone names something and does not say what happens."""
WHY_NOT = (
    "This was not understood as a fault of a motorised window, vent, damper, fan or their control. "
    "Say which part and what it does, such as: the roof vent does not close."
)


def is_recognised(chances: Mapping[str, float], said: frozenset[str]) -> bool:
    """Tell whether the text means a symptom, from the chances of all of them and of none, and from all that is said.

    `said` holds ideas, and words without one.
    """
    return bool(chances) and chances[NOTHING] <= MOST_FOREIGN and not said <= MERE_THINGS
