"""Understand what a person typed: symptoms, parts, circumstances and times; or say kindly that it was not."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from diag.observations import Observed
from diag.words.alternatives import Instead
from diag.words.chips import make_chips
from diag.words.choosing import part_for
from diag.words.cleaning import clean_text
from diag.words.examples import Examples, gather_examples, joined_scores, likeness
from diag.words.how_many import against_by_number
from diag.words.joining import join_chances, with_clauses, without_nothing
from diag.words.patterns import Patterns, met_patterns, read_patterns
from diag.words.reading import (
    OF_OTHER_MATTERS,
    Reading,
    begins_unknown,
    plain_words,
    read_phrase,
    read_words,
    with_bare_words,
)
from diag.words.scope import WHY_NOT, is_recognised, strangeness
from diag.words.scoring import Clause, Scores, score_clauses, score_text
from diag.words.site_names import SiteNames, build_site_names
from diag.words.times import said_times
from diag.words.trained import Trained, load_trained, weigh_words
from diag.words.understood import Chip, PartQuestion, SaidTime, Understood
from diag.words.vocabulary import Vocabulary, build_vocabulary
from knowledge.entries import Symptom, ToldCondition
from knowledge.lexicon import Concept, Lexicon

if TYPE_CHECKING:
    from diag.topology import Topology

__all__ = ["Chip", "Intake", "PartQuestion", "SaidTime", "Understood", "build_intake", "understand"]

LEAST_CHANCE = 0.005
"""A symptom less likely is not worth showing."""
MOST_SYMPTOMS = 8
MOST_IN_A_CLAUSE = 3
SITES_KEPT = 8


@dataclass(frozen=True)
class Intake:
    """All that understanding needs, ready to use; names of sites already met are kept."""

    symptoms: Mapping[str, Symptom]
    concepts: Mapping[str, Concept]
    vocabulary: Vocabulary
    patterns: Patterns
    told: Patterns
    phrases: tuple[tuple[str, str], ...]
    """Symptom and a phrase that means it."""
    trained: Trained
    instead: Instead = ()
    """Ideas that are easily taken for one another, with words for each."""
    sites: dict[int, tuple[Topology, SiteNames]] = field(default_factory=dict, repr=False, compare=False)

    @cached_property
    def examples(self) -> Examples:
        """The phrases as ideas, worked out when first needed."""
        read = ((means, read_phrase(phrase, self.vocabulary, self.concepts)) for means, phrase in self.phrases)
        return gather_examples((means, with_bare_words(reading, self.vocabulary)) for means, reading in read)


def build_intake(symptoms: Mapping[str, Symptom], conditions: Mapping[str, ToldCondition], lexicon: Lexicon) -> Intake:
    """Return what understanding needs, from the knowledge base's symptoms, circumstances and words."""
    known = {name: patterns for name, patterns in lexicon.symptoms.items() if name in symptoms}
    told = {name: patterns for name, patterns in lexicon.told.items() if name in conditions}
    return Intake(
        symptoms=symptoms,
        concepts=lexicon.concepts,
        vocabulary=build_vocabulary(lexicon),
        patterns=read_patterns(known),
        told=read_patterns(told),
        trained=load_trained(),
        instead=lexicon.instead,
        phrases=tuple(
            (it.id, phrase) for it in symptoms.values() for phrase in (*it.phrases, *lexicon.sayings.get(it.id, ()))
        ),
    )


def understand(intake: Intake, text: str, topology: Topology | None = None) -> Understood:
    """Return what the text means: symptoms best first, parts, circumstances and times; never raises."""
    cleaned, note = clean_text(text)
    names = _site_names(intake, topology)
    reading = read_words(cleaned, intake.vocabulary, intake.concepts, names)
    clauses = score_clauses(reading, intake.patterns, intake.concepts)
    by_clause = tuple(_clause_chances(intake, clause, reading) for clause in clauses)
    chances = with_clauses(_chances(intake, reading, clauses, names), by_clause)
    recognised = is_recognised(chances, with_bare_words(reading, intake.vocabulary))
    return Understood(
        recognised=recognised,
        symptoms=_observed(intake, without_nothing(chances), reading, names) if recognised else (),
        clauses=tuple(_clause(intake, alone, reading, names) for alone in by_clause),
        told=frozenset(pattern.means for pattern in met_patterns(intake.told, reading.ideas)),
        said_times=tuple(said_times(cleaned, reading)),
        parts=tuple(dict.fromkeys(part for it in reading.named for part in it.parts)),
        asks=_questions(cleaned, reading),
        frame=make_chips(cleaned, reading, intake.concepts, intake.instead, names),
        corrections=reading.corrections,
        unrecognised=None if recognised else cleaned or None,
        why_not=None if recognised else WHY_NOT,
        note=note,
    )


def _site_names(intake: Intake, topology: Topology | None) -> SiteNames | None:
    """Return the names of a site, kept from the last time it was asked about."""
    if topology is None:
        return None
    kept = intake.sites.get(id(topology))
    if kept is None or kept[0] is not topology:
        if len(intake.sites) >= SITES_KEPT:
            intake.sites.clear()
        kept = intake.sites[id(topology)] = topology, build_site_names(topology)
    return kept[1]


def _chances(intake: Intake, reading: Reading, clauses: Sequence[Clause], names: SiteNames | None) -> Scores:
    """Return the chance of each symptom and of none, from patterns, phrases and training together."""
    scores = score_text(reading, clauses, intake.patterns, intake.concepts)
    alike = likeness(intake.examples, with_bare_words(reading, intake.vocabulary))
    told = weigh_words(intake.trained, plain_words(reading, intake.concepts), reading.features)
    against = against_by_number(reading, names)
    evidence = {symptom: log + against.get(symptom, 0.0) for symptom, log in told.items()}
    unknown = begins_unknown(reading, intake.vocabulary, intake.concepts)
    strange = strangeness(reading.mentions, reading.features, unknown)
    return join_chances(evidence, joined_scores(scores, alike), alike, intake.symptoms, strange)


def _clause_chances(intake: Intake, clause: Clause, reading: Reading) -> Scores:
    """Return the chances of one clause, as if nothing else had been said."""
    alike = likeness(intake.examples, clause.ideas - OF_OTHER_MATTERS)
    words = plain_words(reading, intake.concepts, clause.start, clause.end)
    evidence = weigh_words(intake.trained, words, clause.features)
    return join_chances(evidence, joined_scores(clause.scores, alike), alike, intake.symptoms)


def _clause(intake: Intake, alone: Scores, reading: Reading, names: SiteNames | None) -> tuple[Observed, ...]:
    """Return the best symptoms of one clause."""
    return _observed(intake, without_nothing(alone), reading, names)[:MOST_IN_A_CLAUSE]


def _observed(intake: Intake, chances: Scores, reading: Reading, names: SiteNames | None) -> tuple[Observed, ...]:
    """Return the symptoms best first, each with the part it is about."""
    best = sorted(chances.items(), key=lambda it: (-it[1], it[0]))[:MOST_SYMPTOMS]
    return tuple(
        Observed(symptom, _part(intake.symptoms[symptom], reading, names), round(chance, 3))
        for symptom, chance in best
        if chance >= LEAST_CHANCE
    )


def _part(symptom: Symptom, reading: Reading, names: SiteNames | None) -> str | None:
    return part_for(symptom, reading.mentions, reading.features, names) if names else None


def _questions(text: str, reading: Reading) -> tuple[PartQuestion, ...]:
    """Return the stretches of the text that could mean several parts."""
    words = reading.words
    return tuple(
        PartQuestion(text[words[it.first].start : words[it.last].end], it.parts)
        for it in reading.named
        if len(it.parts) > 1
    )
