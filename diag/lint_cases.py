"""Find cases that do not come out as written, and rules that no case fires or spares."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from diag.engine import Engine
from diag.rule_cases import CaseResult, case_chapters, owners, run_cases
from knowledge.faults import Fault
from knowledge.load import Knowledge


def lint_cases(knowledge: Knowledge) -> Iterator[Fault]:
    """Run every case through the engine and yield what does not hold; the rules themselves must be sound."""
    results = list(run_cases(knowledge, Engine(case_chapters(knowledge)).run))
    yield from _failed(knowledge, results)
    yield from _unfired(knowledge, results)


def _failed(knowledge: Knowledge, results: Sequence[CaseResult]) -> Iterator[Fault]:
    kinds = {owner: kind for kind, owner, _, _ in owners(knowledge)}
    for it in results:
        located = knowledge.files[f"{kinds[it.owner]}:{it.owner}"]
        for rule in sorted(it.missing):
            yield located.fault(("cases", it.index, "fires"), f"{rule} was to fire in “{it.name}” and did not")
        for rule in sorted(it.unwanted):
            yield located.fault(("cases", it.index, "not-fires"), f"{rule} was not to fire in “{it.name}” and did")


def _unfired(knowledge: Knowledge, results: Sequence[CaseResult]) -> Iterator[Fault]:
    for kind, owner, rules, cases in owners(knowledge):
        located = knowledge.files[f"{kind}:{owner}"]
        fired = {rule for it in results if it.owner == owner for rule in it.fired}
        spared = {rule for case in cases for rule in case.not_fires}
        for index, entry in enumerate(rules):
            if entry.id not in fired:
                yield located.fault(("rules", index, "id"), f"no case fires {entry.id}; add one")
            if entry.id not in spared:
                yield located.fault(("rules", index, "id"), f"no case spares {entry.id}; add one")
