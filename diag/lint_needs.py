"""Find what is there for nothing or lacks what it needs: unused checks, unanswered symptoms, causes none tell apart."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from diag.chapters import symptoms_asked
from knowledge.entries import Cause
from knowledge.faults import Fault
from knowledge.load import Knowledge

Evidence = Mapping[str, Mapping[str, str]]
"""For each check of a cause, how often each outcome is seen, in words."""


def lint_needs(knowledge: Knowledge) -> Iterator[Fault]:
    """Yield the entries that nothing needs, and those that need something that is not there."""
    used = {it.check for cause in knowledge.causes.values() for it in cause.checks}
    for check in knowledge.checks:
        if check not in used:
            yield _fault(knowledge, "Check", check, "id", f"no cause uses {check}; name it in a cause or remove it")
    by_symptom = causes_of_symptoms(knowledge)
    for symptom in knowledge.symptoms:
        if not by_symptom.get(symptom):
            yield _fault(knowledge, "Symptom", symptom, "id", f"no rule suspects a cause of {symptom}; add one")
    yield from _same_phrases(knowledge)
    yield from _undecided(knowledge)
    yield from _twins(knowledge, by_symptom)


def causes_of_symptoms(knowledge: Knowledge) -> dict[str, list[Cause]]:
    """Return, for each symptom, the causes that some rule suspects of it."""
    found: dict[str, list[Cause]] = {}
    for cause in knowledge.causes.values():
        asked = {symptom for entry in cause.rules if entry.suspect for symptom in symptoms_asked(entry)}
        for symptom in asked:
            found.setdefault(symptom, []).append(cause)
    return found


def told_apart(knowledge: Knowledge, one: Cause, other: Cause) -> bool:
    """Return whether some check has an outcome that is clearly likelier under one cause than under the other."""
    return bool(telling_checks(knowledge, one, other))


def telling_checks(knowledge: Knowledge, one: Cause, other: Cause | None = None) -> list[str]:
    """Return the checks whose likeliest outcome differs between two causes, or between a cause and a healthy part."""
    first = _evidence(one)
    second = _evidence(other) if other else {}
    checks = [it for it in sorted({*first, *second}) if it in knowledge.checks]
    return [it for it in checks if _likeliest(knowledge, it, first) != _likeliest(knowledge, it, second)]


def _evidence(cause: Cause) -> dict[str, Mapping[str, str]]:
    return {it.check: it.outcomes for it in cause.checks}


def _likeliest(knowledge: Knowledge, check: str, evidence: Evidence) -> str:
    numbers: Mapping[str, float] = {str(word): number for word, number in knowledge.words.likelihood.items()}
    words = evidence.get(check) or {it.id: str(it.healthy) for it in knowledge.checks[check].outcomes}
    return max(sorted(words), key=lambda it: numbers[words[it]])


def _fault(knowledge: Knowledge, kind: str, entry: str, field: str, message: str) -> Fault:
    return knowledge.files[f"{kind}:{entry}"].fault((field,), message)


def _same_phrases(knowledge: Knowledge) -> Iterator[Fault]:
    seen: dict[str, str] = {}
    for symptom in knowledge.symptoms.values():
        for index, phrase in enumerate(symptom.phrases):
            other = seen.setdefault(" ".join(phrase.lower().split()), symptom.id)
            if other != symptom.id or phrase in symptom.phrases[:index]:
                message = f"“{phrase}” is a phrase of {other} already; keep it where it means more"
                yield knowledge.files[f"Symptom:{symptom.id}"].fault(("phrases", index), message)


def _undecided(knowledge: Knowledge) -> Iterator[Fault]:
    for cause in knowledge.causes.values():
        if not telling_checks(knowledge, cause):
            message = f"every check of {cause.id} shows what a healthy part shows; add a check that tells it"
            yield _fault(knowledge, "Cause", cause.id, "checks", message)
        yield from _not_decisive(knowledge, cause)


def _not_decisive(knowledge: Knowledge, cause: Cause) -> Iterator[Fault]:
    deciding = {it.check: index for index, it in enumerate(cause.checks) if it.decisive}
    telling = set(telling_checks(knowledge, cause))
    for check, index in deciding.items():
        if check in knowledge.checks and check not in telling:
            message = f"{check} shows most often what it shows where nothing is wrong, so it is not decisive"
            path = ("checks", index, "decisive")
            yield knowledge.files[f"Cause:{cause.id}"].fault(path, f"{message}; name another outcome or another check")


def _twins(knowledge: Knowledge, by_symptom: Mapping[str, list[Cause]]) -> Iterator[Fault]:
    seen: set[tuple[str, str]] = set()
    for causes in by_symptom.values():
        for place, one in enumerate(causes):
            for other in causes[place + 1 :]:
                pair = (one.id, other.id)
                if pair not in seen and not told_apart(knowledge, one, other):
                    message = f"no check tells {one.id} from {other.id}; add one that does"
                    yield _fault(knowledge, "Cause", one.id, "checks", message)
                seen.add(pair)
