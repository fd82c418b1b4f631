"""Short ways to say a case in a test."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from diag.case_text import read_event, read_finding, read_symptom
from diag.diagnose import answer
from diag.observations import Case, Diagnosis
from diag.reasoner import PreparedSite, Reasoner
from diag.reasoning import Reasoning, open_case

NOON = datetime(2026, 5, 4, 12, 0)


def case(
    *symptoms: str,
    findings: Iterable[str] = (),
    told: Iterable[str] = (),
    events: Iterable[str] = (),
    at: datetime | None = NOON,
    repaired: Iterable[tuple[str, str | None]] = (),
) -> Case:
    """Return a case from texts: `case("drive-dead@d1", findings=["volts-drive@d1=none"])`."""
    return Case(
        symptoms=tuple(read_symptom(it) for it in symptoms),
        told=frozenset(told),
        findings=tuple(read_finding(it) for it in findings),
        events=tuple(read_event(it, at or NOON) for it in events),
        at=at,
        repaired=tuple(repaired),
    )


def reasoning_of(reasoner: Reasoner, site: PreparedSite, *symptoms: str, **known: object) -> Reasoning:
    """Return the opened case."""
    return open_case(reasoner, site, case(*symptoms, **known))  # type: ignore[arg-type]


def diagnosis_of(reasoner: Reasoner, site: PreparedSite, *symptoms: str, **known: object) -> Diagnosis:
    """Return the answer to the case."""
    asked = case(*symptoms, **known)  # type: ignore[arg-type]
    return answer(reasoner, open_case(reasoner, site, asked), asked.findings)


def causes_of(diagnosis: Diagnosis) -> list[str]:
    """Return the ids of the ranked causes, best first."""
    return [it.cause for it in diagnosis.causes]
