"""Score symptoms and circumstances by patterns of ideas."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from diag.words.roles import Features
from knowledge.lexicon import Concept

STRENGTHS = (0.0, 0.6, 0.75, 0.86, 0.92, 0.95)
"""How sure a pattern makes by the number of ideas it needs, unless it says otherwise."""
MET_BONUS = 0.03
UNEXPLAINED_COST = 0.05
UNEXPLAINED_LIMIT = 0.25
HEAVY = 0.75
"""An idea of at least this weight that a pattern leaves unexplained counts against it."""


@dataclass(frozen=True, slots=True)
class Pattern:
    """One way to say something: a group of ideas is met by any one of them."""

    means: str
    needs: tuple[frozenset[str], ...]
    absent: frozenset[str]
    welcome: frozenset[str]
    strength: float
    explains: frozenset[str]


Patterns = Mapping[str, tuple[Pattern, ...]]
"""Patterns by an idea without which they cannot be met."""


def read_patterns(patterns: Mapping[str, Iterable[str]]) -> Patterns:
    """Return the patterns of the lexicon's texts."""
    read = [_read(means, text) for means, texts in patterns.items() for text in texts]
    common = Counter(idea for pattern in read for group in pattern.needs for idea in group)
    by_idea: dict[str, list[Pattern]] = defaultdict(list)
    for pattern in read:
        for idea in min(pattern.needs, key=lambda group: sum(common[idea] for idea in group)):
            by_idea[idea].append(pattern)
    return {idea: tuple(found) for idea, found in by_idea.items()}


def met_patterns(patterns: Patterns, ideas: frozenset[str]) -> Iterable[Pattern]:
    """Yield the patterns that the ideas meet; one may come twice."""
    for idea in ideas:
        for pattern in patterns.get(idea, ()):
            if _is_met(pattern, ideas):
                yield pattern


def _read(means: str, text: str) -> Pattern:
    terms = text.split()
    needs = tuple(frozenset(term.split("|")) for term in terms if term[0] not in "!?=")
    absent = frozenset(term[1:] for term in terms if term[0] == "!")
    welcome = frozenset(term[1:] for term in terms if term[0] == "?")
    given = [float(term[1:]) for term in terms if term[0] == "="]
    strength = given[0] if given else STRENGTHS[min(len(needs), len(STRENGTHS) - 1)]
    return Pattern(means, needs, absent, welcome, strength, welcome.union(*needs))


def _is_met(pattern: Pattern, ideas: frozenset[str]) -> bool:
    """Tell whether all the pattern needs is there and nothing it excludes."""
    return ideas.isdisjoint(pattern.absent) and not any(ideas.isdisjoint(group) for group in pattern.needs)


def score_patterns(patterns: Patterns, features: Features, concepts: Mapping[str, Concept]) -> dict[str, float]:
    """Return, for each symptom some pattern of which is met, how sure the best one is."""
    ideas = frozenset().union(*features)
    heavy = [(mention, weight) for mention, weight in _weighted(features, concepts) if weight >= HEAVY]
    best: dict[str, float] = {}
    for pattern in met_patterns(patterns, ideas):
        score = _score(pattern, ideas, heavy)
        if score > best.get(pattern.means, 0.0):
            best[pattern.means] = score
    return best


def _score(pattern: Pattern, ideas: frozenset[str], heavy: Sequence[tuple[frozenset[str], float]]) -> float:
    left = sum(weight for mention, weight in heavy if mention.isdisjoint(pattern.explains))
    met = len(pattern.welcome & ideas)
    return pattern.strength + MET_BONUS * met - min(UNEXPLAINED_COST * left, UNEXPLAINED_LIMIT)


def _weighted(features: Features, concepts: Mapping[str, Concept]) -> Iterable[tuple[frozenset[str], float]]:
    for mention in features:
        if mention:
            yield mention, max((concepts[idea].weight for idea in mention if idea in concepts), default=0.6)
