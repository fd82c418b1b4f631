"""Find everything in the knowledge base that touches an entry: what asks for it, names it, or is named by it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from diag.chapters import symptoms_asked
from diag.errors import UnknownName
from diag.lint_needs import causes_of_symptoms
from diag.rule_cases import owners
from knowledge.entries import Cause, Check, RuleEntry, Story
from knowledge.load import Knowledge
from knowledge.located import Located

Path = tuple[str | int, ...]

KINDS: Mapping[str, str] = {
    "Symptom": "symptoms",
    "Cause": "causes",
    "Check": "checks",
    "Caution": "cautions",
    "ToldCondition": "conditions",
    "Deduction": "deductions",
}
"""Kinds of entry and the field of the knowledge base that holds them."""


class UnknownEntry(UnknownName):
    """No entry of any kind has this id."""

    thing = "entry"


@dataclass(frozen=True, slots=True)
class Touch:
    """One tie of an entry: how it touches, what is on the other side, in which file and line, and what it says."""

    how: str
    other: str
    where: str
    says: str = ""


def kinds_of(knowledge: Knowledge, entry: str) -> list[str]:
    """Return the kinds of entry that have this id; raise UnknownEntry when there is none."""
    found = [kind for kind, field in KINDS.items() if entry in getattr(knowledge, field)]
    if not found:
        known = sorted(name for field in KINDS.values() for name in getattr(knowledge, field))
        raise UnknownEntry(entry, known)
    return found


def touches(knowledge: Knowledge, kind: str, entry: str, stories: Mapping[str, Story]) -> list[Touch]:
    """Return all ties of an entry, those of one sort together."""
    finders = {
        "Symptom": _of_symptom,
        "Cause": _of_cause,
        "Check": _of_check,
        "Caution": _of_caution,
        "ToldCondition": _of_condition,
        "Deduction": _of_deduction,
    }
    return [*finders[kind](knowledge, entry), *_retired(knowledge, kind, entry), *_of_stories(kind, entry, stories)]


def place_of(located: Located, path: Path = ()) -> str:
    """Return file and line of a value."""
    return f"{located.source}:{located.position(path)[0]}"


def _of_symptom(knowledge: Knowledge, symptom: str) -> Iterator[Touch]:
    for kind, owner, rules, _ in owners(knowledge):
        for index, rule in enumerate(rules):
            if symptom in symptoms_asked(rule):
                where = place_of(knowledge.files[f"{kind}:{owner}"], ("rules", index))
                yield Touch(f"{effect(rule)} by", f"{owner}/{rule.id}", where, rule.because)
    for other in knowledge.symptoms.values():
        for index, like in enumerate(other.looks_like):
            if like.symptom == symptom:
                where = place_of(knowledge.files[f"Symptom:{other.id}"], ("looks-like", index))
                yield Touch("looks like", other.id, where, like.tell_apart)
    yield from _cautions(knowledge, "Symptom", symptom, "cautions", knowledge.symptoms[symptom].cautions)


def _of_cause(knowledge: Knowledge, cause: str) -> Iterator[Touch]:
    entry = knowledge.causes[cause]
    located = knowledge.files[f"Cause:{cause}"]
    for index, rule in enumerate(entry.rules):
        asked = ", ".join(sorted(symptoms_asked(rule)))
        yield Touch(
            f"{effect(rule)} by",
            f"{cause}/{rule.id}",
            place_of(located, ("rules", index)),
            f"[{asked}] {rule.because}" if asked else rule.because,
        )
    for index, evidence in enumerate(entry.checks):
        words = ", ".join(f"{outcome} {word}" for outcome, word in evidence.outcomes.items())
        yield Touch("shown by", evidence.check, place_of(located, ("checks", index)), words)
    yield from _rivals(knowledge, entry)
    yield from _cautions(knowledge, "Cause", cause, "cautions", entry.cautions)
    yield from _asked_elsewhere(knowledge, cause)


def _rivals(knowledge: Knowledge, cause: Cause) -> Iterator[Touch]:
    shared: dict[str, list[str]] = {}
    for symptom, causes in sorted(causes_of_symptoms(knowledge).items()):
        if cause in causes:
            for other in causes:
                shared.setdefault(other.id, []).append(symptom)
    for other_id, symptoms in sorted(shared.items(), key=lambda it: (-len(it[1]), it[0])):
        if other_id != cause.id:
            where = place_of(knowledge.files[f"Cause:{other_id}"])
            yield Touch("rival of", other_id, where, f"both show {', '.join(symptoms)}")


def _asked_elsewhere(knowledge: Knowledge, cause: str) -> Iterator[Touch]:
    for kind, owner, rules, _ in owners(knowledge):
        for index, rule in enumerate(rules):
            if owner != cause and _asks(rule, "cause", cause):
                where = place_of(knowledge.files[f"{kind}:{owner}"], ("rules", index))
                yield Touch("asked for by", f"{owner}/{rule.id}", where, rule.because)


def _of_check(knowledge: Knowledge, check: str) -> Iterator[Touch]:
    entry: Check = knowledge.checks[check]
    for cause in knowledge.causes.values():
        for index, evidence in enumerate(cause.checks):
            if evidence.check == check:
                words = ", ".join(f"{outcome} {word}" for outcome, word in evidence.outcomes.items())
                decisive = " (decisive)" if evidence.decisive else ""
                where = place_of(knowledge.files[f"Cause:{cause.id}"], ("checks", index))
                yield Touch("used by", cause.id, where, words + decisive)
    if entry.expects:
        yield Touch("expects", entry.expects, "calculated for the part", entry.expect_text)
    yield from _cautions(knowledge, "Check", check, "hazards", entry.hazards)


def _of_caution(knowledge: Knowledge, caution: str) -> Iterator[Touch]:
    for symptom in knowledge.symptoms.values():
        if caution in symptom.cautions:
            yield Touch("shown with", symptom.id, place_of(knowledge.files[f"Symptom:{symptom.id}"]), symptom.name)
    for cause in knowledge.causes.values():
        if caution in cause.cautions:
            yield Touch("shown with", cause.id, place_of(knowledge.files[f"Cause:{cause.id}"]), cause.name)
    for check in knowledge.checks.values():
        if caution in check.hazards:
            yield Touch("shown with", check.id, place_of(knowledge.files[f"Check:{check.id}"]), check.name)


def _of_condition(knowledge: Knowledge, condition: str) -> Iterator[Touch]:
    for kind, owner, rules, _ in owners(knowledge):
        for index, rule in enumerate(rules):
            if _asks(rule, "condition", condition):
                where = place_of(knowledge.files[f"{kind}:{owner}"], ("rules", index))
                yield Touch(f"{effect(rule)} by", f"{owner}/{rule.id}", where, rule.because)


def _of_deduction(knowledge: Knowledge, topic: str) -> Iterator[Touch]:
    located = knowledge.files[f"Deduction:{topic}"]
    for index, rule in enumerate(knowledge.deductions[topic].rules):
        yield Touch(
            f"{effect(rule)} by", f"{topic}/{rule.id}", place_of(located, ("rules", index)), rule.advise or rule.because
        )
        if rule.derive:
            yield from _users(knowledge, rule.derive)


def _users(knowledge: Knowledge, deduced: str) -> Iterator[Touch]:
    for kind, owner, rules, _ in owners(knowledge):
        for index, rule in enumerate(rules):
            if _asks(rule, "what", deduced):
                where = place_of(knowledge.files[f"{kind}:{owner}"], ("rules", index))
                yield Touch(f"{deduced} is used by", f"{owner}/{rule.id}", where, rule.because)


def _asks(rule: RuleEntry, field: str, word: str) -> bool:
    asked = [fields.get(field) for fact in rule.when for fields in fact.values()]
    return any(word == it or (isinstance(it, list) and word in it) for it in asked)


def _cautions(knowledge: Knowledge, kind: str, entry: str, field: str, cautions: Iterable[str]) -> Iterator[Touch]:
    for index, caution in enumerate(cautions):
        where = place_of(knowledge.files[f"{kind}:{entry}"], (field, index))
        yield Touch("warned of with", caution, where, knowledge.cautions[caution].name)


def _retired(knowledge: Knowledge, kind: str, entry: str) -> Iterator[Touch]:
    for old, new in knowledge.redirects.get(kind, {}).items():
        if new == entry:
            yield Touch("took the place of", old, place_of(knowledge.files[f"{kind}:{old}"]))


def _of_stories(kind: str, entry: str, stories: Mapping[str, Story]) -> Iterator[Touch]:
    for name, story in stories.items():
        named = {
            "Symptom": [it.partition("@")[0] for it in story.symptoms],
            "Cause": [story.leads],
            "Check": [it.partition("=")[0].partition("@")[0] for it in story.findings],
            "ToldCondition": story.told,
        }.get(kind, [])
        if entry in named:
            yield Touch("met in the story", name, f"stories/{name}.yaml", story.name)


def effect(rule: RuleEntry) -> str:
    """Return what a rule does, as a participle: suspected, made stronger, excluded, deduced or advised."""
    if rule.suspect:
        return f"suspected ({rule.suspect})"
    if rule.weigh:
        return f"made {rule.weigh}"
    return "excluded" if rule.exclude else "deduced" if rule.derive else "advised"
