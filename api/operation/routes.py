"""The endpoints of operation: readiness, metrics, retention and erasure."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from fastapi.responses import PlainTextResponse
from prometheus_client import CONTENT_TYPE_LATEST, generate_latest
from pydantic import Field
from sqlalchemy import update

from api.access.desk import AccessDeskDep
from api.access.errors import UnknownPerson
from api.access.routes import Id
from api.cases.routes import CaseId, CasesDep
from api.dependencies import OpenServiceDep
from api.operation.erasure import erase_person, erase_whole_case
from api.operation.metrics import Metrics
from api.operation.readiness import ready
from api.routes import PROBLEM
from api.schemas import In, Out
from api.storage.tables import ORGANISATIONS
from api.strict_query import refuse_unknown_query
from api.who import Admin

STRICT = [Depends(refuse_unknown_query)]
router = APIRouter(prefix="/v1", tags=["operation"], responses=PROBLEM, dependencies=STRICT)
probes = APIRouter(tags=["operation"], responses=PROBLEM, dependencies=STRICT)


class FoundOut(Out):
    """One thing that was looked at."""

    what: str
    is_well: bool
    says: str


class ReadinessOut(Out):
    """Whether the service can do its work."""

    ready: bool
    checks: list[FoundOut]


class OrganisationOut(Out):
    """The organisation, and after how many days its closed cases, typed texts and training go; null keeps them."""

    id: str
    name: str
    retention_days: int | None


class OrganisationIn(In):
    """What to change of the organisation."""

    retention_days: Annotated[int, Field(ge=1, le=36_500, strict=True)] | None


@probes.get("/readyz", responses={503: {"model": ReadinessOut, "description": "It cannot do its work now."}})
def read_readiness(service: OpenServiceDep, response: Response) -> ReadinessOut:
    """Say whether the service can do its work, for whatever sends it requests."""
    found = list(ready(service.store.database, service.desk))
    well = all(it.is_well for it in found)
    response.status_code = 200 if well else 503
    shown = [FoundOut(what=it.what, is_well=it.is_well, says=it.says if it.is_well else "not well") for it in found]
    return ReadinessOut(ready=well, checks=shown)


@probes.get("/metrics", response_class=PlainTextResponse)
def read_metrics(request: Request, _: Admin) -> Response:
    """Return counters and times for Prometheus."""
    metrics: Metrics = request.app.state.metrics
    return Response(generate_latest(metrics.registry), media_type=CONTENT_TYPE_LATEST)


@router.get("/organisation")
def read_organisation(who: Admin, access: AccessDeskDep) -> OrganisationOut:
    """Return the organisation of whoever asks."""
    row = access.people.organisation(who.org)
    return OrganisationOut(id=row.id, name=row.name, retention_days=row.retention_days)


@router.patch("/organisation")
def change_organisation(sent: OrganisationIn, who: Admin, access: AccessDeskDep) -> OrganisationOut:
    """Say after how many days closed cases, typed texts, classes, practice call-outs and learners' cards go."""
    with access.people.database.writing() as connection:
        change = update(ORGANISATIONS).where(ORGANISATIONS.c.id == who.org)
        connection.execute(change.values(retention_days=sent.retention_days))
    access.audit.note(who, "retention-set", who.org, str(sent.retention_days))
    return read_organisation(who, access)


@router.delete("/people/{person_id}", status_code=204)
def erase_one_person(person_id: Id, who: Admin, access: AccessDeskDep) -> None:
    """Remove a person for good; what they did in cases stays under a number that names nobody."""
    access.people.change(who.org, person_id, disabled_at="erased")
    if not erase_person(access.people.database, who.org, person_id):
        raise UnknownPerson(person_id)
    access.audit.note(who, "person-erased", person_id)


@router.delete("/cases/{case_id}", status_code=204)
def erase_case(case_id: CaseId, who: Admin, cases: CasesDep, access: AccessDeskDep) -> None:
    """Remove a case for good, with its events and files and all that was typed for it."""
    erase_whole_case(cases.records, who.org, case_id)
    access.audit.note(who, "case-erased", case_id)
