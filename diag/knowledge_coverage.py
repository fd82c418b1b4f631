"""Count what the knowledge base holds for each symptom: causes, checks that tell, rules, cases and stories."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from diag.chapters import symptoms_asked
from diag.lint_needs import causes_of_symptoms, telling_checks
from knowledge.entries import Cause, Likelihood, Story
from knowledge.load import Knowledge


@dataclass(frozen=True, slots=True)
class Coverage:
    """One line of the table: a symptom, how much answers it, and the pair of causes fewest checks tell apart."""

    symptom: str
    name: str
    causes: tuple[str, ...]
    checks: tuple[str, ...]
    rules: int
    cases: int
    phrases: int
    stories: int
    closest: tuple[str, str] | None
    closest_checks: int


@dataclass(frozen=True, slots=True)
class Tie:
    """A symptom and a cause suspected of it: how often at most, the checks that show it, and those that decide it."""

    symptom: str
    cause: str
    seen: Likelihood
    checks: tuple[str, ...]
    decisive: tuple[str, ...]


def ties(knowledge: Knowledge, symptom: str | None = None) -> list[Tie]:
    """Return every pair of a symptom and a cause suspected of it, or those of one symptom, the likeliest first."""
    by_symptom = causes_of_symptoms(knowledge)
    symptoms = [symptom] if symptom else list(knowledge.symptoms)
    found = [_tie(knowledge, it, cause) for it in symptoms for cause in by_symptom.get(it, [])]
    chance = knowledge.words.likelihood
    return sorted(found, key=lambda it: (symptoms.index(it.symptom), -chance[it.seen], it.cause))


def _tie(knowledge: Knowledge, symptom: str, cause: Cause) -> Tie:
    words = [rule.suspect for rule in cause.rules if rule.suspect and symptom in symptoms_asked(rule)]
    return Tie(
        symptom=symptom,
        cause=cause.id,
        seen=max(words, key=lambda it: knowledge.words.likelihood[it]),
        checks=tuple(it.check for it in cause.checks),
        decisive=tuple(it.check for it in cause.checks if it.decisive),
    )


def coverage(knowledge: Knowledge, stories: Mapping[str, Story]) -> list[Coverage]:
    """Return a line for each symptom, by id."""
    by_symptom = causes_of_symptoms(knowledge)
    told = [it.partition("@")[0] for story in stories.values() for it in story.symptoms]
    return [_line(knowledge, it, by_symptom.get(it, []), told.count(it)) for it in knowledge.symptoms]


def _line(knowledge: Knowledge, symptom: str, causes: Sequence[Cause], stories: int) -> Coverage:
    pairs = [
        (len(telling_checks(knowledge, one, other)), one.id, other.id)
        for place, one in enumerate(causes)
        for other in causes[place + 1 :]
    ]
    fewest = min(pairs, default=None)
    return Coverage(
        symptom=symptom,
        name=knowledge.symptoms[symptom].name,
        causes=tuple(sorted(it.id for it in causes)),
        checks=tuple(sorted({it.check for cause in causes for it in cause.checks})),
        rules=sum(symptom in symptoms_asked(rule) for cause in knowledge.causes.values() for rule in cause.rules),
        cases=_cases(knowledge, symptom),
        phrases=len(knowledge.symptoms[symptom].phrases),
        stories=stories,
        closest=(fewest[1], fewest[2]) if fewest else None,
        closest_checks=fewest[0] if fewest else 0,
    )


def _cases(knowledge: Knowledge, symptom: str) -> int:
    given = [case.given for cause in knowledge.causes.values() for case in cause.cases]
    return sum(any(fact.get("symptom", {}).get("symptom") == symptom for fact in facts) for facts in given)
