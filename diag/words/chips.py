"""Show what was understood as chips that the user can correct."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from diag.words.cleaning import Word
from diag.words.ideas import Mention
from diag.words.roles import Features
from diag.words.understood import Chip
from knowledge.lexicon import Concept

_SHOWN = {
    "thing": "what",
    "happened": "what happens",
    "act": "what happens",
    "asked": "asked by",
    "amount": "how many",
    "when": "when",
}
_ACTS = {"opens": "opens", "closes": "closes"}


def make_chips(
    text: str,
    words: Sequence[Word],
    mentions: Sequence[Mention],
    features: Features,
    concepts: Mapping[str, Concept],
    part_names: Mapping[str, str],
) -> tuple[Chip, ...]:
    """Return one chip for each mention that carries meaning, in the order of the text."""
    chips = []
    for mention, ideas in zip(mentions, features, strict=False):
        role_and_meaning = _meaning(mention, ideas, concepts, part_names)
        if role_and_meaning:
            start, end = words[mention.first].start, words[mention.last].end
            chips.append(Chip(role_and_meaning[0], text[start:end], role_and_meaning[1], start, end))
    return tuple(chips)


def _meaning(
    mention: Mention, ideas: frozenset[str], concepts: Mapping[str, Concept], part_names: Mapping[str, str]
) -> tuple[str, str] | None:
    if mention.part:
        return "part", part_names.get(mention.part, mention.part)
    shown = [idea for idea in sorted(ideas) if _role(idea, concepts) in _SHOWN and _is_own(idea, mention)]
    if not shown:
        return None
    idea = max(shown, key=lambda it: concepts[it].weight if it in concepts else 1.0)
    return _SHOWN[_role(idea, concepts)], _says(idea, concepts)


def _is_own(idea: str, mention: Mention) -> bool:
    return idea in mention.ideas or idea in _ACTS or idea.startswith(("no-", "asked-"))


def _role(idea: str, concepts: Mapping[str, Concept]) -> str:
    if idea in concepts:
        return concepts[idea].role
    return "asked" if idea.startswith("asked-") else "happened"


def _says(idea: str, concepts: Mapping[str, Concept]) -> str:
    if idea in concepts:
        return concepts[idea].says
    prefix, _, act = idea.partition("-")
    says = concepts[act].says if act in concepts else act
    return f"asked to {says}" if prefix == "asked" else f"does not: {says}"
