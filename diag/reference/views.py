"""Gather what the page of an entry shows, with links both ways."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from diag.chapters import symptoms_asked
from diag.lint_needs import causes_of_symptoms
from diag.reference.say_facts import names_in_case, say_conditions, say_given, say_reason
from knowledge.entries import Cause, Caution, Check, Likelihood, RuleCase, RuleEntry, Symptom
from knowledge.load import Knowledge

WORDS: tuple[Likelihood, ...] = ("always", "usually", "often", "sometimes", "seldom", "never")
EFFECTS: Mapping[str, str] = {
    "much-stronger": "Much more likely", "stronger": "More likely", "weaker": "Less likely",
    "much-weaker": "Much less likely",
}  # fmt: skip
SENTENCE = re.compile(r"(?<=[.?])\s+")


@dataclass(frozen=True, slots=True)
class RuleView:
    """A rule in words: what it does, for which symptoms, why, and on what exactly."""

    id: str
    effect: str
    symptoms: tuple[Symptom, ...]
    reason: str
    conditions: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True)
class CaseView:
    """A worked example: what is given, and what each rule that fires says of it, by its effect."""

    name: str
    given: tuple[str, ...]
    says: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Shown:
    """How a check shows a cause: its outcomes with their words, most usual first, why, and whether it decides alone."""

    check: Check
    cause: Cause
    outcomes: tuple[tuple[str, str], ...]
    because: str
    decisive: bool


@dataclass(frozen=True, slots=True)
class SymptomView:
    """The page of a symptom."""

    entry: Symptom
    causes: Mapping[str, list[tuple[Cause, str]]]
    taken_for: tuple[tuple[Symptom, str], ...]
    taken_for_this: tuple[tuple[Symptom, str], ...]
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True)
class CauseView:
    """The page of a cause."""

    entry: Cause
    rules: Mapping[str, list[RuleView]]
    shown_by: tuple[Shown, ...]
    cases: tuple[CaseView, ...]
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True)
class CheckView:
    """The page of a check."""

    entry: Check
    steps: tuple[str, ...]
    shows: Mapping[str, list[tuple[Cause, str]]]
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True)
class CautionView:
    """The page of a caution."""

    entry: Caution
    symptoms: tuple[Symptom, ...]
    causes: tuple[Cause, ...]
    checks: tuple[Check, ...] = field(default=())


def view_symptom(knowledge: Knowledge, symptom: str) -> SymptomView:
    """Return what the page of a symptom shows; causes by how often they show it."""
    entry = knowledge.symptoms[symptom]
    return SymptomView(
        entry=entry,
        causes=_causes_by_word(knowledge, symptom),
        taken_for=tuple((knowledge.symptoms[it.symptom], it.tell_apart) for it in entry.looks_like),
        taken_for_this=tuple(_taken_for(knowledge, symptom)),
        cautions=_cautions(knowledge, entry.cautions),
    )


def _causes_by_word(knowledge: Knowledge, symptom: str) -> dict[str, list[tuple[Cause, str]]]:
    found: dict[str, list[tuple[Cause, str]]] = {word: [] for word in WORDS}
    for cause in causes_of_symptoms(knowledge).get(symptom, []):
        rules = [it for it in cause.rules if it.suspect and symptom in symptoms_asked(it)]
        strongest = min(rules, key=lambda it: WORDS.index(it.suspect or "never"))
        found[strongest.suspect or "never"].append((cause, say_reason(knowledge, strongest)))
    return {word: sorted(causes, key=lambda it: it[0].name) for word, causes in found.items() if causes}


def _taken_for(knowledge: Knowledge, symptom: str) -> Iterator[tuple[Symptom, str]]:
    for other in knowledge.symptoms.values():
        yield from ((other, it.tell_apart) for it in other.looks_like if it.symptom == symptom)


def view_cause(knowledge: Knowledge, cause: str) -> CauseView:
    """Return what the page of a cause shows; rules by what they do."""
    entry = knowledge.causes[cause]
    rules: dict[str, list[RuleView]] = {"suspect": [], "weigh": [], "exclude": []}
    for rule in entry.rules:
        group = "suspect" if rule.suspect else "weigh" if rule.weigh else "exclude"
        rules[group].append(_rule(knowledge, rule))
    return CauseView(
        entry=entry,
        rules=rules,
        shown_by=tuple(_shown(knowledge, entry)),
        cases=tuple(_case(knowledge, entry.rules, it) for it in entry.cases),
        cautions=_cautions(knowledge, entry.cautions),
    )


def _rule(knowledge: Knowledge, rule: RuleEntry) -> RuleView:
    symptoms = tuple(knowledge.symptoms[it] for it in sorted(symptoms_asked(rule)) if it in knowledge.symptoms)
    conditions = tuple(say_conditions(knowledge, rule))
    return RuleView(rule.id, effect_words(rule), symptoms, say_reason(knowledge, rule), conditions, rule.source)


def effect_words(rule: RuleEntry) -> str:
    """Return what a rule does, for people."""
    if rule.suspect:
        return f"Suspected; such a part shows it {rule.suspect}"
    if rule.weigh:
        return EFFECTS[rule.weigh]
    return "Ruled out" if rule.exclude else "Told" if rule.advise else "Deduced"


def _shown(knowledge: Knowledge, cause: Cause) -> Iterator[Shown]:
    for evidence in cause.checks:
        check = knowledge.checks[evidence.check]
        labels = {it.id: plain_label(it.label) for it in check.outcomes}
        ordered = sorted(evidence.outcomes.items(), key=lambda it: WORDS.index(it[1]))
        outcomes = tuple((labels[outcome], word) for outcome, word in ordered)
        yield Shown(check, cause, outcomes, evidence.because, evidence.decisive)


def _case(knowledge: Knowledge, rules: Iterable[RuleEntry], case: RuleCase) -> CaseView:
    by_id = {it.id: it for it in rules}
    fired = [by_id[it] for it in case.fires]
    says = tuple((effect_words(it), say_reason(knowledge, it, names_in_case(knowledge, it, case))) for it in fired)
    return CaseView(case.name, tuple(say_given(knowledge, case)), says)


def view_check(knowledge: Knowledge, check: str) -> CheckView:
    """Return what the page of a check shows; for each outcome, the causes that show it seldom or more often."""
    entry = knowledge.checks[check]
    shows: dict[str, list[tuple[Cause, str]]] = {it.id: [] for it in entry.outcomes}
    for cause in knowledge.causes.values():
        for evidence in cause.checks:
            for outcome, word in evidence.outcomes.items() if evidence.check == check else ():
                if word != "never":
                    shows[outcome].append((cause, word))
    ordered = {it: sorted(shows[it], key=lambda pair: (WORDS.index(pair[1]), pair[0].name)) for it in shows}
    return CheckView(entry, tuple(SENTENCE.split(entry.how)), ordered, _cautions(knowledge, entry.hazards))


def view_caution(knowledge: Knowledge, caution: str) -> CautionView:
    """Return what the page of a caution shows: where it is given."""
    return CautionView(
        entry=knowledge.cautions[caution],
        symptoms=tuple(it for it in knowledge.symptoms.values() if caution in it.cautions),
        causes=tuple(it for it in knowledge.causes.values() if caution in it.cautions),
        checks=tuple(it for it in knowledge.checks.values() if caution in it.hazards),
    )


def plain_label(label: str) -> str:
    """Return the label of an outcome where no part is known to calculate what to expect."""
    return label.replace(": {expect}", "").replace("{expect}", "as expected")


def _cautions(knowledge: Knowledge, cautions: Iterable[str]) -> tuple[Caution, ...]:
    return tuple(knowledge.cautions[it] for it in cautions)
