"""Find faults that need the whole knowledge base: dangling ids, rules no case fires, checks that tell nothing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from diag.chapters import symptoms_asked
from diag.engine import Engine
from diag.lint_rules import lint_rules
from diag.rule_cases import CaseResult, case_chapters, owners, run_cases
from knowledge.entries import Cause
from knowledge.faults import Fault, nearest, suggestion
from knowledge.load import Knowledge


def check_knowledge(knowledge: Knowledge) -> list[Fault]:
    """Return every fault of the whole, by file and line; cases run only when the rules themselves are sound."""
    faults = [*_names(knowledge), *_needs(knowledge), *lint_rules(knowledge)]
    if not faults:
        results = list(run_cases(knowledge, Engine(case_chapters(knowledge)).run))
        faults = [*_failed_cases(knowledge, results), *_unfired_rules(knowledge, results)]
    return sorted(faults, key=lambda it: (it.source, it.line, it.column, it.message))


def _fault(knowledge: Knowledge, kind: str, entry: str, path: tuple[str | int, ...], message: str) -> Fault:
    return knowledge.files[f"{kind}:{entry}"].fault(path, message)


def _names(knowledge: Knowledge) -> Iterator[Fault]:
    """Yield ids that stand for nothing, with the nearest that do."""
    for cause in knowledge.causes.values():
        for index, evidence in enumerate(cause.checks):
            path = ("checks", index, "check")
            yield from _unknown(knowledge, "Cause", cause.id, path, evidence.check, knowledge.checks, "check")
            if evidence.check in knowledge.checks:
                outcomes = [it.id for it in knowledge.checks[evidence.check].outcomes]
                for outcome in evidence.outcomes:
                    at = ("checks", index, "outcomes")
                    yield from _unknown(
                        knowledge, "Cause", cause.id, at, outcome, outcomes, f"outcome of {evidence.check}"
                    )
        yield from _cautions(knowledge, "Cause", cause.id, ("cautions",), cause.cautions)
    for check in knowledge.checks.values():
        yield from _cautions(knowledge, "Check", check.id, ("hazards",), check.hazards)
        for index, band in enumerate(check.reading.bands if check.reading else ()):
            outcomes = [it.id for it in check.outcomes]
            where = ("reading", "bands", index, "outcome")
            yield from _unknown(knowledge, "Check", check.id, where, band.outcome, outcomes, "outcome")
    for symptom in knowledge.symptoms.values():
        yield from _cautions(knowledge, "Symptom", symptom.id, ("cautions",), symptom.cautions)
        for index, like in enumerate(symptom.looks_like):
            at = ("looks-like", index, "symptom")
            yield from _unknown(knowledge, "Symptom", symptom.id, at, like.symptom, knowledge.symptoms, "symptom")


def _cautions(
    knowledge: Knowledge, kind: str, entry: str, path: tuple[str | int, ...], ids: Iterable[str]
) -> Iterator[Fault]:
    for index, caution in enumerate(ids):
        yield from _unknown(knowledge, kind, entry, (*path, index), caution, knowledge.cautions, "caution")


def _unknown(
    knowledge: Knowledge,
    kind: str,
    entry: str,
    path: tuple[str | int, ...],
    found: str,
    known: Iterable[str],
    thing: str,
) -> Iterator[Fault]:
    known = list(known)
    if found not in known:
        hint = suggestion(nearest(found, known)) or "."
        yield _fault(knowledge, kind, entry, path, f"there is no {thing} {found}{hint}")


def _needs(knowledge: Knowledge) -> Iterator[Fault]:
    """Yield checks that no cause needs, symptoms no rule answers, and causes that no check can tell from another."""
    used = {it.check for cause in knowledge.causes.values() for it in cause.checks}
    for check in knowledge.checks:
        if check not in used:
            yield _fault(knowledge, "Check", check, ("id",), f"no cause uses {check}; name it in a cause or remove it")
    suspects = _suspects(knowledge)
    for symptom in knowledge.symptoms:
        if not suspects.get(symptom):
            yield _fault(knowledge, "Symptom", symptom, ("id",), f"no rule suspects a cause of {symptom}; add one")
    yield from _twins(knowledge, suspects)


def _suspects(knowledge: Knowledge) -> dict[str, list[Cause]]:
    found: dict[str, list[Cause]] = {}
    for cause in knowledge.causes.values():
        asked = {symptom for entry in cause.rules if entry.suspect for symptom in symptoms_asked(entry)}
        for symptom in asked:
            found.setdefault(symptom, []).append(cause)
    return found


def _twins(knowledge: Knowledge, suspects: Mapping[str, list[Cause]]) -> Iterator[Fault]:
    seen: set[tuple[str, str]] = set()
    for causes in suspects.values():
        for place, one in enumerate(causes):
            for other in causes[place + 1 :]:
                pair = (one.id, other.id)
                if pair not in seen and not told_apart(knowledge, one, other):
                    yield _fault(
                        knowledge,
                        "Cause",
                        one.id,
                        ("checks",),
                        f"no check tells {one.id} from {other.id}; add one that does",
                    )
                seen.add(pair)


def told_apart(knowledge: Knowledge, one: Cause, other: Cause) -> bool:
    """Return whether some check has an outcome that is clearly likelier under one cause than under the other."""
    first = {it.check: it.outcomes for it in one.checks}
    second = {it.check: it.outcomes for it in other.checks}
    return any(
        _likeliest(knowledge, check, first) != _likeliest(knowledge, check, second) for check in {*first, *second}
    )


def _likeliest(knowledge: Knowledge, check: str, evidence: Mapping[str, Mapping[str, str]]) -> str:
    numbers = knowledge.words.likelihood
    entry = knowledge.checks.get(check)
    if entry is None:
        return ""
    words = evidence.get(check) or {it.id: it.healthy for it in entry.outcomes}
    return max(sorted(words), key=lambda it: numbers[words[it]])  # type: ignore[index]


def _failed_cases(knowledge: Knowledge, results: Iterable[CaseResult]) -> Iterator[Fault]:
    kinds = {owner: kind for kind, owner, _, _ in owners(knowledge)}
    for it in results:
        for rule in sorted(it.missing):
            at = ("cases", it.index, "fires")
            yield _fault(knowledge, kinds[it.owner], it.owner, at, f"{rule} was to fire in “{it.name}” and did not")
        for rule in sorted(it.unwanted):
            at = ("cases", it.index, "not-fires")
            yield _fault(knowledge, kinds[it.owner], it.owner, at, f"{rule} was not to fire in “{it.name}” and did")


def _unfired_rules(knowledge: Knowledge, results: Iterable[CaseResult]) -> Iterator[Fault]:
    listed = list(results)
    for kind, owner, rules, cases in owners(knowledge):
        fired = {rule for it in listed if it.owner == owner for rule in it.fired}
        spared = {rule for case in cases for rule in case.not_fires}
        for index, entry in enumerate(rules):
            if entry.id not in fired:
                yield _fault(knowledge, kind, owner, ("rules", index, "id"), f"no case fires {entry.id}; add one")
            if entry.id not in spared:
                yield _fault(knowledge, kind, owner, ("rules", index, "id"), f"no case spares {entry.id}; add one")
