"""What travels about cases, as JSON shapes."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from pydantic import Field

from api.cases.reason import crew_said
from api.cases.record import CaseRow
from api.cases.state import CaseEvent, CaseState
from api.dependencies import Service
from api.plan_shapes import PlanOut
from api.schemas import DiagnosisOut, Out
from api.storage.clock import time_text

ETAG = '"{}"'


class CaseSummaryOut(Out):
    """A case as lists show it."""

    id: str
    number: int
    version: int
    status: str
    title: str
    site: str | None
    symptom: str | None
    leading_cause: str | None
    confirmed_cause: str | None
    confirmed_part: str | None
    opened_at: str
    updated_at: str
    closed_at: str | None
    opened_by: str


class CaseListOut(Out):
    """Cases, newest first; `next` is the address of those that follow, absent at the end."""

    cases: list[CaseSummaryOut]
    next: str | None = None


class LeadingOut(Out):
    """A cause that led when it was last reasoned."""

    cause: str
    part: str | None
    name: str
    probability: float


class ResumesOut(Out):
    """When automatic works again: on the site's clock, and in UTC."""

    at: str
    at_utc: str
    seconds_left: int = Field(description="From the moment of this answer; 0 when it is over.")


class CrewOut(Out):
    """Who is there and what they have with them."""

    competences: list[str]
    alone: bool
    without: list[str]
    dark: bool


class CaseOut(CaseSummaryOut):
    """A case as it is; the lists hold the fields of events with their number `seq`, time and author."""

    site_version: int | None
    description: dict[str, Any] | None = Field(description="The site, where it was described inline.")
    at: str | None
    language: str
    rates: int = Field(description="Version of the learned rates it is reasoned with; 0 for those of the entries.")
    texts: list[dict[str, Any]]
    symptoms: list[dict[str, Any]]
    told: list[str]
    commands: list[dict[str, Any]]
    answers: list[dict[str, Any]]
    readings: list[dict[str, Any]]
    notes: list[dict[str, Any]]
    repairs: list[dict[str, Any]]
    proofs: list[dict[str, Any]]
    attachments: list[dict[str, Any]]
    confirmed: dict[str, Any] | None
    handed_to: str | None
    remote_mode: bool
    crew: CrewOut | None = Field(description="Who is there; null for a full crew in daylight.")
    outcome: str | None
    visits: int
    leading: list[LeadingOut]
    knowledge_version: str | None
    resumes: ResumesOut | None


class CaseEventOut(Out):
    """One event; `data` holds the fields of its kind, and under `then` what was thought after it."""

    seq: int
    kind: str
    at: str
    by: str
    data: dict[str, Any]


class CaseEventsOut(Out):
    """Events in order; `next` is the address of those that follow, absent at the end."""

    events: list[CaseEventOut]
    next: str | None = None


class ChangedOut(Out):
    """A case after a change, the events that were added, and the diagnosis where it was reasoned anew."""

    case: CaseOut
    events: list[CaseEventOut]
    diagnosis: DiagnosisOut | None


class CasePlanOut(Out):
    """The plan of a case at a version; null where nothing is known to be wrong, and once it is closed."""

    version: int
    plan: PlanOut | None


class SimilarOut(Out):
    """A case that is like another: how much (0 to 1), and in what."""

    case: CaseSummaryOut
    likeness: float
    shares: list[str]


class SimilarListOut(Out):
    """The cases most like one, best first."""

    cases: list[SimilarOut]


def summarise(row: CaseRow) -> CaseSummaryOut:
    """Return a case as lists show it."""
    return CaseSummaryOut(**_summary(row))


def describe_event(event: CaseEvent) -> CaseEventOut:
    """Return an event as it is sent."""
    return CaseEventOut(seq=event.seq, kind=event.kind, at=event.at, by=event.by, data=dict(event.data))


def describe_case(service: Service, org: str, row: CaseRow, state: CaseState) -> CaseOut:
    """Return a case as it is sent."""
    then = state.then
    return CaseOut(
        **_summary(row),
        site_version=state.site_version,
        description=dict(state.site) if isinstance(state.site, Mapping) else None,
        at=state.at,
        language=state.language,
        rates=state.rates,
        texts=_list(state.texts),
        symptoms=_list(state.symptoms),
        told=list(state.told),
        commands=_list(state.commands),
        answers=_list(state.answers),
        readings=_list(state.readings),
        notes=_list(state.notes),
        repairs=_list(state.repairs),
        proofs=_list(state.proofs),
        attachments=_list(state.attachments),
        confirmed=dict(state.confirmed) if state.confirmed else None,
        handed_to=state.handed_to,
        remote_mode=state.remote_mode,
        crew=CrewOut(**said.model_dump()) if (said := crew_said(state)) else None,
        outcome=state.outcome,
        visits=state.visits,
        leading=[LeadingOut(**it) for it in then.get("leading", ())],
        knowledge_version=then.get("knowledge_version"),
        resumes=_resumes(service, org, state),
    )


def resumes_at(service: Service, org: str, state: CaseState) -> datetime | None:
    """Return when automatic works again, with its zone: the site's, or this machine's where none is known."""
    told = state.then.get("resumes_at")
    if not told or state.status == "closed":
        return None
    zone = service.shelf.of(org).find(state.site, state.site_version).site.time_zone
    at = datetime.fromisoformat(told)
    try:
        return at.replace(tzinfo=ZoneInfo(zone)) if zone else at.astimezone()
    except (ZoneInfoNotFoundError, ValueError):
        return at.astimezone()


def _resumes(service: Service, org: str, state: CaseState) -> ResumesOut | None:
    at = resumes_at(service, org, state)
    if at is None:
        return None
    left = max(0, round((at - datetime.now(UTC)).total_seconds()))
    return ResumesOut(at=state.then["resumes_at"], at_utc=time_text(at), seconds_left=left)


def _summary(row: CaseRow) -> dict[str, Any]:
    return {name: getattr(row, name) for name in CaseSummaryOut.model_fields}


def _list(items: tuple[Mapping[str, Any], ...]) -> list[dict[str, Any]]:
    return [dict(it) for it in items]
