"""Give a case the ids that are in use now, where it speaks of entries that have been replaced."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from diag.observations import Case, Finding
from knowledge.load import Knowledge


def current_case(knowledge: Knowledge, case: Case) -> Case:
    """Return the case with retired symptoms, causes and checks replaced by those in use."""
    return replace(
        case,
        symptoms=tuple(replace(it, symptom=knowledge.current("Symptom", it.symptom)) for it in case.symptoms),
        findings=current_findings(knowledge, case.findings),
        repaired=tuple((knowledge.current("Cause", cause), part) for cause, part in case.repaired),
    )


def current_findings(knowledge: Knowledge, findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the findings with retired checks replaced by those in use."""
    return tuple(replace(it, check=knowledge.current("Check", it.check)) for it in findings)
