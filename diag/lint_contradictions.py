"""Find rules of one cause that speak for it and against it on the same facts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from diag.condition_cover import covers
from knowledge.entries import RuleEntry
from knowledge.faults import Fault
from knowledge.load import Knowledge

FOR = frozenset({"much-stronger", "stronger"})
AGAINST = frozenset({"weaker", "much-weaker"})


def lint_contradictions(knowledge: Knowledge) -> Iterator[Fault]:
    """Yield suspicions that another rule of the cause always takes back, and shifts both ways on the same facts."""
    for cause in knowledge.causes.values():
        located = knowledge.files[f"Cause:{cause.id}"]
        for index, rule in enumerate(cause.rules):
            for message in _contradicted(rule, cause.rules):
                yield located.fault(("rules", index, "when"), message)


def _contradicted(rule: RuleEntry, rules: Sequence[RuleEntry]) -> Iterator[str]:
    if rule.suspect:
        for other in rules:
            if other.exclude and covers(other, rule):
                yield f"{rule.id} suspects what {other.id} excludes on the same facts; narrow one of them"
    elif rule.weigh in FOR:
        for other in rules:
            if other.weigh in AGAINST and covers(other, rule) and covers(rule, other):
                yield f"{rule.id} and {other.id} shift opposite ways on the same facts; keep one of them"
