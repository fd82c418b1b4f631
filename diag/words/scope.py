"""Tell what is a fault of this kind of installation from what is not, and say what can be typed instead."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from diag.words.ideas import Mention
from diag.words.roles import Features
from diag.words.trained import NOTHING

MOST_FOREIGN = 0.45
"""A text that is about something else with a greater chance is declined. Chosen on phrases never trained on."""
MERE_THINGS = frozenset({
    "opening", "one-opening", "many-openings", "window", "windows", "vent", "vents", "louvre", "drive", "drives", "fan",
    "switch", "button", "by-hand", "panel", "output", "zone", "zones", "neutral",
})  # fmt: skip
"""A text of these alone names something and does not say what happens."""
OWN_THINGS = frozenset({
    "opening", "drive", "fan", "damper", "smoke-opening", "call-point", "detector-line", "rain-device", "wind-device",
    "discovery", "link", "automatic", "key-switch", "panel", "output", "zone", "air-quality", "position-signal",
    "insect-screen",
})  # fmt: skip
"""Things of this kind of installation."""
OTHER_THING = "elsewhere"
FOR_OWN, FOR_OTHER, FOR_OTHER_SUBJECT, FOR_OTHER_FIRST = -1.0, 2.0, 3.0, 0.0
"""What things add to the logarithm of the chance that a text is about something else; chosen like `MOST_FOREIGN`.

A thing of this kind that comes first decides, as in `window over the front door`; one behind a thing of another trade
may be only the place, as in `the lamp by the roof vent`, or the thing, as in `the toilet window`. Where nothing of ours
is named, one of another trade counts more at the beginning, where people say what they speak of.
"""
FOR_UNKNOWN = 2.5
"""What a word that nobody knows adds where it stands for the thing and nothing of ours is named."""
BEGINNING = 2
"""How many mentions are the beginning."""
WHY_NOT = (
    "This was not understood as a fault of a motorised window, vent, damper, fan or their control. "
    "Say which part and what it does, such as: the roof vent does not close."
)


def strangeness(mentions: Sequence[Mention], features: Features, begins_unknown: bool = False) -> float:
    """Return what the things spoken of add to the logarithm of the chance that the text is about something else."""
    told = list(zip(mentions, features, strict=False))
    own = [at for at, (mention, ideas) in enumerate(told) if mention.parts or ideas & OWN_THINGS]
    other = [at for at, (_, ideas) in enumerate(told) if OTHER_THING in ideas]
    if own and (not other or own[0] <= other[0] or _says_where(told, other[0])):
        return FOR_OWN
    return _for_others(own, other) + (FOR_UNKNOWN if begins_unknown else 0.0)


def _for_others(own: Sequence[int], other: Sequence[int]) -> float:
    if not other:
        return 0.0
    if own:
        return FOR_OTHER_FIRST
    return FOR_OTHER_SUBJECT if other[0] < BEGINNING else FOR_OTHER


def _says_where(told: Sequence[tuple[Mention, frozenset[str]]], at: int) -> bool:
    """Tell whether another trade's thing stands right before an opening, as in `toilet window`, and says which."""
    if at + 1 >= len(told):
        return False
    (mention, _), (following, ideas) = told[at], told[at + 1]
    return mention.last + 1 == following.first and "opening" in ideas


def is_recognised(chances: Mapping[str, float], said: frozenset[str]) -> bool:
    """Tell whether the text means a symptom, from the chances of all of them and of none, and from all that is said.

    `said` holds ideas, and words without one.
    """
    return bool(chances) and chances[NOTHING] <= MOST_FOREIGN and not said - {OTHER_THING} <= MERE_THINGS
