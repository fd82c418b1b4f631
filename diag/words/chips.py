"""Show what was understood as chips that the user can correct."""

from __future__ import annotations

from collections.abc import Mapping

from diag.words.alternatives import Instead, other_ideas, other_parts, span
from diag.words.ideas import Mention
from diag.words.reading import Reading
from diag.words.site_names import SiteNames
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
    reading: Reading,
    concepts: Mapping[str, Concept],
    instead: Instead,
    names: SiteNames | None = None,
) -> tuple[Chip, ...]:
    """Return one chip for each mention that carries meaning, in the order of the text."""
    chips = []
    for index, (mention, ideas) in enumerate(zip(reading.mentions, reading.features, strict=False)):
        start, end = span(reading, mention)
        if mention.parts and names:
            others = other_parts(text, start, end, mention.parts, names)
            chips.append(Chip("part", text[start:end], _part_name(mention, names), start, end, others))
            continue
        idea = _shown_idea(mention, ideas, concepts)
        if idea:
            alternatives = other_ideas(text, reading, index, idea, instead, lambda it: _says(it, concepts))
            role = _SHOWN[_role(idea, concepts)]
            chips.append(Chip(role, text[start:end], _says(idea, concepts), start, end, alternatives))
    return tuple(chips)


def _part_name(mention: Mention, names: SiteNames) -> str:
    return names.given[mention.part] if mention.part else f"one of {len(mention.parts)}"


def _shown_idea(mention: Mention, ideas: frozenset[str], concepts: Mapping[str, Concept]) -> str | None:
    shown = [idea for idea in sorted(ideas) if _role(idea, concepts) in _SHOWN and _is_own(idea, mention)]
    return max(shown, key=lambda it: concepts[it].weight if it in concepts else 1.0, default=None)


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
