"""Compare a text, idea by idea, with phrases known to mean a symptom: for what no pattern covers."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

LIFT = 0.3
"""How much likeness to a known phrase adds to what a pattern says."""
FLOOR = 0.4
ALONE = 0.8
"""Likeness of at least the floor counts without any pattern, for this share."""


@dataclass(frozen=True, slots=True)
class Example:
    """A phrase as ideas, and how much it holds."""

    means: str
    ideas: frozenset[str]
    size: float


@dataclass(frozen=True)
class Examples:
    """Phrases, their places by the ideas they hold, and how much each idea tells."""

    phrases: tuple[Example, ...]
    by_idea: Mapping[str, tuple[int, ...]]
    tells: Mapping[str, float]
    rarest: float


def gather_examples(phrases: Iterable[tuple[str, frozenset[str]]]) -> Examples:
    """Return the examples of phrases given with the symptom they mean."""
    kept = [(means, ideas) for means, ideas in phrases if ideas]
    counted = Counter(idea for _, ideas in kept for idea in ideas)
    tells = {idea: math.log(1 + len(kept) / count) for idea, count in counted.items()}
    examples = tuple(Example(means, ideas, sum(tells[idea] ** 2 for idea in ideas)) for means, ideas in kept)
    by_idea: dict[str, list[int]] = defaultdict(list)
    for place, example in enumerate(examples):
        for idea in example.ideas:
            by_idea[idea].append(place)
    places = {idea: tuple(found) for idea, found in by_idea.items()}
    return Examples(examples, places, tells, max(tells.values(), default=1.0))


def likeness(examples: Examples, ideas: frozenset[str]) -> dict[str, float]:
    """Return how like its most like phrase the text is, for each symptom: 0 nothing shared to 1 the same."""
    size = sum(examples.tells.get(idea, examples.rarest) ** 2 for idea in ideas)
    shared: dict[int, float] = defaultdict(float)
    for idea in ideas:
        worth = examples.tells.get(idea, 0.0) ** 2
        for place in examples.by_idea.get(idea, ()):
            shared[place] += worth
    best: dict[str, float] = {}
    for place, worth in shared.items():
        example = examples.phrases[place]
        alike = worth / math.sqrt(size * example.size)
        if alike > best.get(example.means, 0.0):
            best[example.means] = alike
    return best


def joined_scores(patterns: Mapping[str, float], alike: Mapping[str, float]) -> dict[str, float]:
    """Return pattern scores lifted by likeness; likeness alone counts from a floor on, and for less."""
    bases = dict(patterns)
    for means, likeness_ in alike.items():
        if likeness_ >= FLOOR:
            bases[means] = max(bases.get(means, 0.0), ALONE * likeness_)
    return {means: base + LIFT * alike.get(means, 0.0) for means, base in bases.items()}
