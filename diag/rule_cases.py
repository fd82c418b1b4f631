"""Run the cases that stand beside the rules: given these facts, which rules fire."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from diag.chapters import compile_rule
from diag.rules import UNKNOWN, Fact, Firing, Rule, fact
from knowledge.entries import FactShape, RuleCase, RuleEntry
from knowledge.load import Knowledge

Run = Callable[[str, Iterable[Fact]], tuple[Firing, ...]]


@dataclass(frozen=True)
class CaseResult:
    """What one case showed: rules that were to fire and did not, rules that were not to and did, and all that fired."""

    owner: str
    index: int
    name: str
    missing: frozenset[str]
    unwanted: frozenset[str]
    fired: frozenset[str]

    @property
    def holds(self) -> bool:
        """Return whether the case came out as written."""
        return not self.missing and not self.unwanted


def owners(knowledge: Knowledge) -> Iterator[tuple[str, str, Iterable[RuleEntry], Iterable[RuleCase]]]:
    """Yield each file with rules: its kind of entry, its id, its rules and its cases."""
    for cause in knowledge.causes.values():
        yield "Cause", cause.id, cause.rules, cause.cases
    for topic, deduction in knowledge.deductions.items():
        yield "Deduction", topic, deduction.rules, deduction.cases


def case_chapters(knowledge: Knowledge) -> dict[str, tuple[Rule, ...]]:
    """Return one chapter for each file, so that its cases see its rules and the deductions they build on."""
    deductions = [
        compile_rule(topic, entry)
        for topic, deduction in knowledge.deductions.items()
        for entry in deduction.rules
        if entry.derive
    ]
    chapters = {}
    for _, owner, rules, _ in owners(knowledge):
        own = [compile_rule(owner, entry) for entry in rules]
        codes = {rule.code for rule in own}
        chapters[f"case:{owner}"] = (*own, *(rule for rule in deductions if rule.code not in codes))
    return chapters


def run_cases(knowledge: Knowledge, run: Run) -> Iterator[CaseResult]:
    """Yield the result of every case; `run` must know the chapters of `case_chapters`."""
    for _, owner, _, cases in owners(knowledge):
        for index, case in enumerate(cases):
            facts = [case_fact(knowledge.facts, kind, fields) for given in case.given for kind, fields in given.items()]
            firings = run(f"case:{owner}", facts)
            prefix = f"{owner}/"
            fired = {it.rule.removeprefix(prefix) for it in firings if it.rule.startswith(prefix)}
            yield CaseResult(
                owner=owner,
                index=index,
                name=case.name,
                missing=frozenset(case.fires) - fired,
                unwanted=frozenset(case.not_fires) & fired,
                fired=frozenset(fired),
            )


def case_fact(shapes: Mapping[str, FactShape], kind: str, fields: Mapping[str, str | float]) -> Fact:
    """Return a fact with the fields a case leaves out set to unknown."""
    left_out = dict.fromkeys(shapes[kind].fields, UNKNOWN) if kind in shapes else {}
    return fact(kind, {**left_out, **fields})
