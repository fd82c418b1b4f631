"""Score symptoms of a whole text and of its clauses, so that two symptoms in one sentence are both found."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from diag.words.ideas import Mention
from diag.words.patterns import Patterns, score_patterns
from diag.words.reading import Reading
from diag.words.roles import Features
from knowledge.lexicon import Concept

CLAUSE_SHARE = 0.97
"""A symptom met only within one clause counts a little less than one met by the whole."""

Scores = dict[str, float]


@dataclass(frozen=True, slots=True)
class Clause:
    """The ideas of one clause, all and by mention, the patterns' scores, and where its words start and end."""

    ideas: frozenset[str]
    features: Features
    scores: Scores
    start: int
    end: int


def score_clauses(reading: Reading, patterns: Patterns, concepts: Mapping[str, Concept]) -> tuple[Clause, ...]:
    """Return each clause of two mentions or more; none when the text is one clause."""
    return tuple(
        _clause(reading, start, end, patterns, concepts)
        for start, end in _clauses(reading.mentions)
        if any(reading.features[start:end])
    )


def _clause(reading: Reading, start: int, end: int, patterns: Patterns, concepts: Mapping[str, Concept]) -> Clause:
    features, mentions = reading.features[start:end], reading.mentions
    return Clause(
        ideas=frozenset().union(*features),
        features=features,
        scores=score_patterns(patterns, features, concepts),
        start=mentions[start - 1].last + 1 if start else 0,
        end=mentions[end].first if end < len(mentions) else len(reading.words),
    )


def score_text(
    reading: Reading, clauses: Sequence[Clause], patterns: Patterns, concepts: Mapping[str, Concept]
) -> Scores:
    """Return the scores of the whole text, raised where a clause says it more clearly."""
    merged = score_patterns(patterns, reading.features, concepts)
    for clause in clauses:
        for symptom, score in clause.scores.items():
            merged[symptom] = max(merged.get(symptom, 0.0), score * CLAUSE_SHARE)
    return merged


def _clauses(mentions: Sequence[Mention]) -> Iterator[tuple[int, int]]:
    ends = [place for place, mention in enumerate(mentions) if not mention.ideas or mention.has("joining")]
    if ends:
        starts = [0, *(place + 1 for place in ends)]
        yield from zip(starts, [*ends, len(mentions)], strict=True)
