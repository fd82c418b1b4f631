"""The endpoints of the service, each a few lines over the steps that do the work."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Body, Depends, Path, Query, Request, Response

from api.access.desk import AccessDeskDep
from api.cases.conditions import IfMatch, etag, expected_version
from api.dependencies import ServiceDep, open_service_of
from api.entries import describe_cause, list_symptoms, name_causes
from api.examples import DIAGNOSIS_EXAMPLES, SITE_EXAMPLE
from api.plan_shapes import PlannedDiagnosisOut
from api.runs import run_diagnosis
from api.schemas import (
    CauseEntryOut,
    CauseListOut,
    DiagnosisIn,
    DiagnosisOut,
    HealthOut,
    PartOut,
    ProblemOut,
    SiteListOut,
    SiteOut,
    SiteSummaryOut,
    SymptomListOut,
)
from api.strict_query import refuse_unknown_query
from api.who import WhoDep, needs
from diag.errors import UnknownSite
from diag.site_file import site_from_data
from diag.topology import read_topology

PROBLEM: dict[int | str, dict[str, Any]] = {
    "default": {"model": ProblemOut, "description": "What was wrong, by field."}
}

SiteId = Annotated[str, Path(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=60)]
CauseId = Annotated[str, Path(max_length=80)]

STRICT = [Depends(refuse_unknown_query)]
ASK, READ_SITES, WRITE_SITES = ([Depends(needs(it))] for it in ("diagnose", "sites:read", "sites:write"))

router = APIRouter(prefix="/v1", responses=PROBLEM, dependencies=STRICT)
health = APIRouter(responses=PROBLEM, dependencies=STRICT)


@router.post("/diagnoses", tags=["diagnoses"], dependencies=ASK)
def create_diagnosis(
    request: Annotated[DiagnosisIn, Body(openapi_examples=DIAGNOSIS_EXAMPLES)], service: ServiceDep
) -> PlannedDiagnosisOut | DiagnosisOut:
    """Say what is most likely wrong, why, and what to check next. Nothing but the typed text is stored."""
    return run_diagnosis(service, request)


@router.get("/symptoms", tags=["knowledge"], dependencies=ASK)
def find_symptoms(
    service: ServiceDep,
    text: Annotated[str | None, Query(max_length=10_000, description="Words to understand.")] = None,
    site: Annotated[str | None, Query(max_length=60, description="Site whose part names may occur.")] = None,
) -> SymptomListOut:
    """Return the symptoms the words can mean, best first, or all of them."""
    return list_symptoms(service, text, site)


@router.get("/causes", tags=["knowledge"], dependencies=ASK)
def list_causes(service: ServiceDep) -> CauseListOut:
    """Return every cause by name, to ask why one is not suspected."""
    return name_causes(service.desk.reasoner.knowledge)


@router.get("/causes/{cause_id}", tags=["knowledge"], dependencies=ASK)
def read_cause(cause_id: CauseId, service: ServiceDep) -> CauseEntryOut:
    """Return what is known of a cause: how it shows, how to mend it and how to prove the repair."""
    return describe_cause(service.desk.reasoner.knowledge, cause_id)


@router.get("/sites", tags=["sites"], dependencies=READ_SITES)
def list_sites(service: ServiceDep) -> SiteListOut:
    """Return all stored sites."""
    return SiteListOut(sites=[SiteSummaryOut(id=it.id, name=it.name, demo=it.demo) for it in service.store.headings()])


@router.get("/sites/{site_id}", tags=["sites"], dependencies=READ_SITES)
def read_site(site_id: SiteId, service: ServiceDep, response: Response) -> SiteOut:
    """Return a stored site with its description and the parts a symptom can be about."""
    stored = service.store.site(site_id)
    if stored is None:
        raise UnknownSite(site_id, [it.id for it in service.store.headings()])
    response.headers["ETag"] = etag(stored.version)
    topology = read_topology(service.shelf.site(site_id))
    parts = [PartOut(id=it, kind=kind, name=topology.name(it)) for it, kind in sorted(topology.kinds.items())]
    return SiteOut(id=stored.id, name=stored.name, demo=stored.demo, description=dict(stored.description), parts=parts)


@router.put(
    "/sites/{site_id}",
    tags=["sites"],
    responses={201: {"model": SiteOut, "description": "Stored as new."}},
    dependencies=WRITE_SITES,
)
def store_site(
    site_id: SiteId,
    description: Annotated[dict[str, Any], Body(openapi_examples=SITE_EXAMPLE)],
    service: ServiceDep,
    who: WhoDep,
    access: AccessDeskDep,
    response: Response,
    if_match: IfMatch = None,
) -> SiteOut:
    """Store a description as the next version of a site; a faulty one is refused with all its faults.

    With If-Match it is stored only over the version it was made from.
    """
    site = site_from_data(description, site_id)
    expected = None if if_match is None else expected_version(if_match)
    if service.store.put_site(site_id, site.name, description, by=who.id, expected=expected):
        response.status_code = 201
    access.audit.note(who, "site-stored", site_id)
    return read_site(site_id, service, response)


@health.get("/healthz", tags=["operation"])
async def read_health(request: Request) -> HealthOut:
    """Say that the service runs, and with which knowledge."""
    service = open_service_of(request)  # without a thread, so that it answers while all of them wait for something
    knowledge = service.desk.reasoner.knowledge
    return HealthOut(
        status="ok",
        knowledge_version=knowledge.version,
        symptoms=len(knowledge.symptoms),
        causes=len(knowledge.causes),
        checks=len(knowledge.checks),
    )
