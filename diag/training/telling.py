"""Tell a call-out in the sentences of a question's stem, and keep it as evidence that can be opened again."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from diag.case_text import read_finding, read_symptom
from diag.classify import outcome_of
from diag.expectations import expect
from diag.observations import Case, Finding
from diag.topology import SITE_PART
from diag.training.item import Value
from diag.training.readings import shown_reading
from diag.training.workshop import Workshop

OVER_LIMIT = "OL"
"""What a meter shows beyond its range."""


def tell_case(workshop: Workshop, case: Case) -> tuple[str, ...]:
    """Return the sentences: which site, when, what was reported and told, what was found: all that the rules know."""
    say = workshop.phrases.say
    reports = [f"{workshop.phrases.symptom(it.symptom)}, {_at(workshop, it.part)}" for it in case.symptoms]
    told = [workshop.phrases.condition(it) for it in sorted(case.told)]
    return (
        say("site", site=workshop.prepared.site.name),
        *([say("called", at=f"{case.at:%Y-%m-%d, %H:%M}")] if case.at else []),
        *(say("reported", said=it) for it in reports),
        *([say("told", said="; ".join(told))] if told else []),
        *(say("found", said=tell_finding(workshop, it)) for it in case.findings),
        *([] if case.findings else [say("nothing-found")]),
    )


def tell_finding(workshop: Workshop, finding: Finding) -> str:
    """Return a finding in words: the check, the part, and the reading or outcome."""
    check = workshop.check(finding.check)
    shown = shown_reading(finding.outcome) if is_reading(finding) else workshop.phrases.outcome(check, finding.outcome)
    return f"{check_at(workshop, check.id, finding.part)}: {shown}"


def check_at(workshop: Workshop, check: str, part: str | None) -> str:
    """Return a check with the part it is made at; one that is made at no part in particular stands alone."""
    name = workshop.phrases.check(check)
    if part in (None, SITE_PART):
        return name.rstrip("?")
    return f"{name}{'' if name.endswith('?') else ','} {_at(workshop, part)}"


def is_reading(finding: Finding) -> bool:
    """Return whether a finding gives what a meter shows, a number with its unit or `OL`, not the id of an outcome."""
    return finding.outcome[:1].isdigit() or finding.outcome[:1] == "-" or finding.outcome == OVER_LIMIT


def outcome_id(workshop: Workshop, finding: Finding) -> str:
    """Return the outcome that a finding stands for at its part."""
    check = workshop.check(finding.check)
    return outcome_of(check, finding.outcome, expect(check, workshop.situation, finding.part or SITE_PART))


def _at(workshop: Workshop, part: str | None) -> str:
    return workshop.part(part or SITE_PART)


def keep_case(case: Case) -> dict[str, Value]:
    """Return the case as evidence."""
    return {
        "symptoms": tuple(f"{it.symptom}@{it.part}" if it.part else it.symptom for it in case.symptoms),
        "told": tuple(sorted(case.told)),
        "findings": tuple(f"{it.check}@{it.part}={it.outcome}" for it in case.findings),
        "at": case.at.isoformat() if case.at else "",
    }


def kept_case(evidence: Mapping[str, Value]) -> Case:
    """Return the case that an evidence keeps."""
    symptoms, told, findings = (_texts(evidence[it]) for it in ("symptoms", "told", "findings"))
    return Case(
        symptoms=tuple(map(read_symptom, symptoms)),
        told=frozenset(told),
        findings=tuple(map(read_finding, findings)),
        at=datetime.fromisoformat(str(evidence["at"])) if evidence["at"] else None,
    )


def _texts(value: Value) -> tuple[str, ...]:
    if not isinstance(value, tuple):
        raise TypeError(f"expected texts, not {value!r}")
    return value
