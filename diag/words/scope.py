"""Tell what is a fault of this kind of installation from what is not, and say what can be typed instead."""

from __future__ import annotations

from collections.abc import Mapping

from diag.words.reading import Reading
from knowledge.lexicon import Concept

LEAST_SCORE = 0.52
"""A best symptom scored less is taken for no symptom at all."""
LEAST_UNNAMED = 0.58
"""The same when no thing of the trade is spoken of and no pattern is met; then something must happen."""
NEARLY_KNOWN = 0.9
LEAST_PATTERN = 0.5
CORE = frozenset({
    "opening", "drive", "fan", "damper", "smoke-opening", "call-point", "detector", "rain-device",
    "wind-device", "discovery", "link", "automatic", "key-switch", "panel", "switch",
})  # fmt: skip
"""Things that are spoken of hardly anywhere else; with one of them, words of other matters do no harm."""
TRADE = CORE | {
    "output", "line", "fuse", "battery", "mains", "earth", "smoke", "alarm", "position-signal", "sensor",
    "settings", "addressable", "find", "pair", "lamp", "charger", "back-off", "out-of-step", "tap", "hold",
    "one-button",
}  # fmt: skip
WHY_NOT = (
    "This was not understood as a fault of a motorised window, vent, damper, fan or their control. "
    "Say which part and what it does, such as: the roof vent does not close."
)


def is_recognised(score: float, reading: Reading, surest_pattern: float, concepts: Mapping[str, Concept]) -> bool:
    """Tell whether the text means a symptom, from the best score and the surest pattern met."""
    ideas = reading.ideas
    if not ideas:
        return False
    is_of_trade = bool(reading.named or ideas & TRADE) or surest_pattern >= LEAST_PATTERN
    if score < (LEAST_SCORE if is_of_trade else LEAST_UNNAMED):
        return False
    if not is_of_trade and score < NEARLY_KNOWN and not _something_happens(ideas, concepts):
        return False
    return "foreign" not in ideas and ("elsewhere" not in ideas or bool(ideas & CORE))


def _something_happens(ideas: frozenset[str], concepts: Mapping[str, Concept]) -> bool:
    return any(idea in concepts and concepts[idea].role in ("happened", "act") for idea in ideas)
