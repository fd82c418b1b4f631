"""Choose which of the parts named in a text a symptom is about."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from diag.words.ideas import Mention
from diag.words.roles import Features
from knowledge.entries import Symptom

_NEAREST = {
    "drive": ("drive", "opening", "zone", "output"),
    "opening": ("opening", "drive", "zone"),
    "zone": ("zone", "opening", "drive", "output", "input"),
    "controller": ("controller", "output", "zone"),
    "output": ("output", "cable", "junction", "drive", "zone", "opening"),
    "input": ("input", "zone"),
    "link": ("link", "input"),
    "fan": ("fan",),
}


def part_for(
    symptom: Symptom, mentions: Sequence[Mention], features: Features, kinds: Mapping[str, str]
) -> str | None:
    """Return the named part that the symptom is about: of the usual kind first, then whatever can stand for it."""
    named = [mention.part for mention in mentions if mention.part]
    if len(named) > 1:
        named = _without_excluded(mentions, features) or named
    for kind in _kinds_in_order(symptom):
        for part in named:
            if kinds[part] == kind:
                return part
    return named[0] if named else None


def _kinds_in_order(symptom: Symptom) -> tuple[str, ...]:
    about = [str(kind) for kind in symptom.about]
    moving = [kind for kind in about if kind in ("drive", "zone", "opening")]
    if moving and len(moving) == len(about):
        return ("opening", "drive", "zone", "output", "input")
    return tuple(dict.fromkeys(kind for first in about for kind in _NEAREST.get(first, (first,))))


def _without_excluded(mentions: Sequence[Mention], features: Features) -> list[str]:
    """Return the named parts without those said to be fine or not meant."""
    kept = []
    for index, mention in enumerate(mentions):
        if mention.part and not _is_excluded(mentions, features, index):
            kept.append(mention.part)
    return kept


def _is_excluded(mentions: Sequence[Mention], features: Features, index: int) -> bool:
    before = mentions[index - 1] if index else None
    if before is not None and before.has("neg") and before.last + 3 > mentions[index].first:
        return True
    for after in features[index + 1 : index + 3]:
        if after & {"fine", "work", "others-fine"}:
            return True
        if after:
            return False
    return False
