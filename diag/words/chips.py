"""Show what was understood as chips that the user can correct."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from diag.words.ideas import Mention
from diag.words.reading import Reading
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
    text: str, reading: Reading, concepts: Mapping[str, Concept], part_name: Callable[[str], str]
) -> tuple[Chip, ...]:
    """Return one chip for each mention that carries meaning, in the order of the text."""
    chips = []
    for mention, ideas in zip(reading.mentions, reading.features, strict=False):
        shown = ("part", part_name(mention.part)) if mention.part else _meaning(mention, ideas, concepts)
        if shown:
            start, end = reading.words[mention.first].start, reading.words[mention.last].end
            chips.append(Chip(shown[0], text[start:end], shown[1], start, end))
    return tuple(chips)


def _meaning(mention: Mention, ideas: frozenset[str], concepts: Mapping[str, Concept]) -> tuple[str, str] | None:
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
