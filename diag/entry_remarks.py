"""Remark on what may weaken a new cause though nothing of it is wrong."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from knowledge.entries import Cause, CheckEvidence
from knowledge.faults import Fault
from knowledge.load import Knowledge

FEW_CHECKS = 6
"""Causes with fewer checks are overtaken by others that speak at more of them; judgement."""


def remarks(knowledge: Knowledge, cause: Cause) -> Iterator[Fault]:
    """Yield what the author of a cause had better look at again, each with its place; it may all be as meant."""
    located = knowledge.files[f"Cause:{cause.id}"]
    if len(cause.checks) < FEW_CHECKS:
        message = f"{len(cause.checks)} checks; a check left out is taken to show what a healthy part shows"
        yield located.fault(("checks",), f"{message}, so name every one whose outcome it changes")
    for index, evidence in enumerate(cause.checks):
        if evidence.decisive and (message := _seen_when_healthy(knowledge, evidence)):
            yield located.fault(("checks", index, "decisive"), message)


def _seen_when_healthy(knowledge: Knowledge, evidence: CheckEvidence) -> str:
    check = knowledge.checks.get(evidence.check)
    if check is None:
        return ""
    numbers: Mapping[str, float] = {str(word): number for word, number in knowledge.words.likelihood.items()}
    outcome = max(evidence.outcomes, key=lambda it: numbers[str(evidence.outcomes[it])])
    healthy = next((str(it.healthy) for it in check.outcomes if it.id == outcome), "never")
    if healthy == "never":
        return ""
    return (
        f"{outcome} of {check.id} is seen {healthy} where nothing is wrong, which weakens the decisive check; if only"
        " a fault can show it, write `healthy: never` there"
    )
