"""Find ids that stand for nothing, or for an entry that has been replaced."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from diag.expectations import CALCULATORS
from knowledge.entries import Cause, Check, Symptom
from knowledge.faults import Fault, nearest, suggestion
from knowledge.load import Knowledge

Path = tuple[str | int, ...]
Name = tuple[Path, str, str, Iterable[str], str]
"""Where a name stands, the name, what kind of thing it names, the names there are, and the kind of entry or none."""


def lint_names(knowledge: Knowledge) -> Iterator[Fault]:
    """Yield each name that is not known, with the nearest that are."""
    for symptom in knowledge.symptoms.values():
        yield from _checked(knowledge, "Symptom", symptom.id, _of_symptom(knowledge, symptom))
    for cause in knowledge.causes.values():
        yield from _checked(knowledge, "Cause", cause.id, _of_cause(knowledge, cause))
    for check in knowledge.checks.values():
        yield from _checked(knowledge, "Check", check.id, _of_check(knowledge, check))


def _checked(knowledge: Knowledge, kind: str, entry: str, names: Iterable[Name]) -> Iterator[Fault]:
    located = knowledge.files[f"{kind}:{entry}"]
    for path, name, thing, known, entry_kind in names:
        if name in known:
            continue
        new = knowledge.current(entry_kind, name)
        if new != name:
            yield located.fault(path, f"the {thing} {name} is retired; write {new}")
        else:
            yield located.fault(path, f"there is no {thing} {name}{suggestion(nearest(name, known)) or '.'}")


def _of_symptom(knowledge: Knowledge, symptom: Symptom) -> Iterator[Name]:
    yield from _cautions(knowledge, ("cautions",), symptom.cautions)
    for index, check in enumerate(symptom.not_asked):
        yield ("not-asked", index), check, "check", knowledge.checks, "Check"
    for index, like in enumerate(symptom.looks_like):
        yield ("looks-like", index, "symptom"), like.symptom, "symptom", knowledge.symptoms, "Symptom"


def _of_cause(knowledge: Knowledge, cause: Cause) -> Iterator[Name]:
    yield from _cautions(knowledge, ("cautions",), cause.cautions)
    for index, evidence in enumerate(cause.checks):
        yield ("checks", index, "check"), evidence.check, "check", knowledge.checks, "Check"
        check = knowledge.checks.get(evidence.check)
        outcomes = [it.id for it in check.outcomes] if check else list(evidence.outcomes)
        for outcome in evidence.outcomes:
            yield ("checks", index, "outcomes"), outcome, f"outcome of {evidence.check}", outcomes, ""


def _of_check(knowledge: Knowledge, check: Check) -> Iterator[Name]:
    yield from _cautions(knowledge, ("hazards",), check.hazards)
    if check.expects:
        yield ("expects",), check.expects, "calculator", CALCULATORS, ""
    outcomes = [it.id for it in check.outcomes]
    for index, band in enumerate(check.reading.bands if check.reading else ()):
        yield ("reading", "bands", index, "outcome"), band.outcome, "outcome", outcomes, ""


def _cautions(knowledge: Knowledge, path: Path, cautions: Iterable[str]) -> Iterator[Name]:
    for index, caution in enumerate(cautions):
        yield (*path, index), caution, "caution", knowledge.cautions, "Caution"
