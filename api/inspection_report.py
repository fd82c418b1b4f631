"""Tell an inspection as JSON, the same for the service and the command line."""

from __future__ import annotations

from typing import Literal

from api.schemas import Out
from diag.inspection.findings import Finding, Inspection
from knowledge.inspection_entries import Severity


class FindingOut(Out):
    """One fault of a description: where, why with its figures, what to do, and on what it rests."""

    rule: str
    severity: Severity
    part: str
    part_kind: str
    part_name: str
    field: str
    title: str
    reason: str
    remedy: str
    source: str
    cause: str | None
    cautions: list[str]
    line: int | None
    column: int | None


class CountsOut(Out):
    """How many findings there are of each severity, whether listed or not."""

    error: int
    warning: int
    note: int


class InspectionOut(Out):
    """All findings of a site, worst first."""

    site: str
    verdict: Literal["clean", "findings"]
    counts: CountsOut
    findings: list[FindingOut]
    knowledge_version: str


def describe_inspection(inspection: Inspection, version: str, at_least: Severity = "note") -> InspectionOut:
    """Return an inspection as JSON shapes, without findings less severe than asked for."""
    listed = [it for it in inspection.findings if Inspection("", (it,)).fails(at_least)]
    counts = CountsOut(
        error=inspection.count("error"), warning=inspection.count("warning"), note=inspection.count("note")
    )
    return InspectionOut(
        site=inspection.site_name,
        verdict="findings" if inspection.findings else "clean",
        counts=counts,
        findings=[describe_finding(it) for it in listed],
        knowledge_version=version,
    )


def describe_finding(it: Finding) -> FindingOut:
    """Return one finding as a JSON shape."""
    return FindingOut(
        rule=it.rule,
        severity=it.severity,
        part=it.part,
        part_kind=it.part_kind,
        part_name=it.part_name,
        field=".".join(it.path),
        title=it.title,
        reason=it.reason,
        remedy=it.remedy,
        source=it.source,
        cause=it.cause,
        cautions=list(it.cautions),
        line=it.line,
        column=it.column,
    )
