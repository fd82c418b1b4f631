"""The endpoints of site versions, files, drafts and door codes."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Depends, Path, Query, Request, Response
from fastapi.responses import PlainTextResponse, RedirectResponse
from pydantic import Field
from starlette.concurrency import run_in_threadpool

from api.access.desk import AccessDeskDep
from api.cases.conditions import etag
from api.dependencies import Service, ServiceDep
from api.routes import PROBLEM, SiteId
from api.schemas import In, Out, SiteOut
from api.sites.difference import differences
from api.sites.door_code import SHORT, door_address, door_code
from api.sites.draft import BadDraft, Draft
from api.sites.draft_brick import draft_from_brick
from api.sites.draft_csv import draft_from_csv
from api.sites.interview import draft_from_answers, next_question
from api.store import SiteVersion
from api.strict_query import refuse_unknown_query
from api.who import SiteReader, SiteWriter
from diag.errors import BadSite, UnknownSite
from diag.site_file import dump_site, read_site, site_from_data

YAML, CSV, TURTLE, SVG = "application/yaml", "text/csv", "text/turtle", "image/svg+xml"
TEXT = {"schema": {"type": "string"}}
READERS = {CSV: draft_from_csv, TURTLE: draft_from_brick}


def _body(*kinds: str) -> dict[str, Any]:
    return {"requestBody": {"required": True, "content": dict.fromkeys(kinds, TEXT)}}


def _answer(kind: str, says: str) -> dict[int | str, dict[str, Any]]:
    return {200: {"description": says, "content": {kind: {}}}}


Version = Annotated[int, Path(ge=1, le=1_000_000)]

router = APIRouter(prefix="/v1", tags=["sites"], responses=PROBLEM, dependencies=[Depends(refuse_unknown_query)])
short_addresses = APIRouter(include_in_schema=False)


class SiteVersionOut(Out):
    """A version of a site, without its description."""

    version: int
    name: str
    stored_at: str
    stored_by: str


class SiteVersionsOut(Out):
    """All versions of a site, oldest first."""

    versions: list[SiteVersionOut]


class OldSiteOut(SiteVersionOut):
    """A version of a site with its description."""

    description: dict[str, Any]


class DifferenceOut(Out):
    """A field that changed; null where it was or is not there."""

    field: str
    before: Any
    after: Any


class DifferencesOut(Out):
    """What changed from one version to another."""

    before: int
    after: int
    differences: list[DifferenceOut]


class SiteDraftOut(Out):
    """A draft of a description, what to look at, and the faults it still has."""

    description: dict[str, Any]
    remarks: list[str]
    faults: list[str]


class InterviewIn(In):
    """The answers so far, by the id of their question; send them all each time."""

    answers: Annotated[dict[str, str | int | list[str]], Field(max_length=60)] = Field(default={})


class QuestionOut(Out):
    """A question: answered by a choice, several where `many`, a number up to `most` or `not-sure`, or one line."""

    id: str
    text: str
    choices: list[str]
    many: bool
    most: int | None


class InterviewOut(Out):
    """The next question, null at the end, how far it is, and the draft."""

    next: QuestionOut | None
    answered: int
    asked: int
    draft: SiteDraftOut


@router.get("/sites/{site_id}/versions")
def list_site_versions(site_id: SiteId, service: ServiceDep, _: SiteReader) -> SiteVersionsOut:
    """Return who stored which version of a site, and when."""
    return SiteVersionsOut(versions=[SiteVersionOut(**_heading(it)) for it in _versions(service, site_id)])


@router.get("/sites/{site_id}/versions/{version}")
def read_site_version(site_id: SiteId, version: Version, service: ServiceDep, _: SiteReader) -> OldSiteOut:
    """Return one version of a site."""
    found = _one(service, site_id, version)
    return OldSiteOut(**_heading(found), description=dict(found.description))


@router.get("/sites/{site_id}/differences")
def compare_site_versions(
    site_id: SiteId,
    service: ServiceDep,
    _: SiteReader,
    before: Annotated[
        int | None, Query(ge=1, le=1_000_000, description="The version before the last if left out.")
    ] = None,
    after: Annotated[int | None, Query(ge=1, le=1_000_000, description="The last version if left out.")] = None,
) -> DifferencesOut:
    """Return what changed between two versions of a site."""
    versions = _versions(service, site_id)
    newer = _one(service, site_id, after or versions[-1].version)
    older = _one(service, site_id, before or max(versions[0].version, newer.version - 1))
    found = differences(older.description, newer.description)
    return DifferencesOut(
        before=older.version,
        after=newer.version,
        differences=[DifferenceOut(field=it.field, before=it.before, after=it.after) for it in found],
    )


@router.get("/sites/{site_id}/file", responses=_answer(YAML, "The description."), response_class=PlainTextResponse)
def export_site(site_id: SiteId, service: ServiceDep, _: SiteReader) -> Response:
    """Return the description of a site as YAML, to edit or to take elsewhere."""
    shelved = service.shelf.find(site_id)
    named = {"content-disposition": f'attachment; filename="{site_id}.yaml"', "etag": etag(shelved.version or 0)}
    return PlainTextResponse(dump_site(shelved.site), media_type=YAML, headers=named)


@router.put(
    "/sites/{site_id}/file",
    openapi_extra=_body(YAML),
    responses={201: {"model": SiteOut, "description": "Stored as new."}},
)
async def import_site(
    site_id: SiteId, request: Request, service: ServiceDep, who: SiteWriter, access: AccessDeskDep, response: Response
) -> SiteVersionOut:
    """Store a site from YAML or JSON; a faulty one is refused with the line of every fault."""
    text = await _text(request)
    is_new = await run_in_threadpool(_import, service, site_id, text, who.id)
    await run_in_threadpool(access.audit.note, who, "site-stored", site_id)
    response.status_code = 201 if is_new else 200
    return SiteVersionOut(**_heading(_versions(service, site_id)[-1]))


@router.delete("/sites/{site_id}", status_code=204)
def delete_site(site_id: SiteId, service: ServiceDep, who: SiteWriter, access: AccessDeskDep) -> None:
    """Remove a site with all its versions; its cases stay."""
    if not service.store.delete_site(site_id):
        raise _unknown(service, site_id)
    access.audit.note(who, "site-deleted", site_id)


@router.get("/sites/{site_id}/door-code.svg", responses=_answer(SVG, "The code."), response_class=Response)
def read_door_code(site_id: SiteId, request: Request, service: ServiceDep, _: SiteReader) -> Response:
    """Return the code for the panel door; a phone's camera opens the site with it, and it grants nothing."""
    site = service.shelf.site(site_id)
    picture = door_code(door_address(str(request.base_url), site_id), f"Opens {site.name}")
    return Response(picture, media_type=SVG)


@router.post("/site-drafts", openapi_extra=_body(CSV, TURTLE))
async def draft_site(
    request: Request,
    _: SiteWriter,
    name: Annotated[str, Query(min_length=1, max_length=200, pattern=r"^[^\x00-\x1f\x7f]+$")] = "A draft",
) -> SiteDraftOut:
    """Make a draft from a table of parts (CSV) or from Brick metadata (Turtle). Nothing is stored."""
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind not in READERS:
        raise BadDraft(f"Send Content-Type {CSV} or {TURTLE}.")
    return await run_in_threadpool(_drafted, READERS[kind](await _text(request), name))


@router.post("/site-drafts/interview")
def ask_about_site(sent: InterviewIn, _: SiteWriter) -> InterviewOut:
    """Return the next question about a site nobody described, and the draft so far. Nothing is stored."""
    question, answered, asked = next_question(sent.answers)
    draft = _drafted(draft_from_answers(sent.answers))
    shown = question and QuestionOut(
        id=question.id, text=question.text, choices=list(question.choices), many=question.many, most=question.most
    )
    return InterviewOut(next=shown, answered=answered, asked=asked, draft=draft)


@short_addresses.get(SHORT + "{site_id}")
@short_addresses.get(SHORT.lower() + "{site_id}")
def open_door(site_id: Annotated[str, Path(pattern=r"^[A-Za-z0-9-]{1,80}$")]) -> RedirectResponse:
    """Lead from a door code to the phone page of its site."""
    return RedirectResponse(f"/?site={site_id.lower()}", 307)


def _import(service: Service, site_id: str, text: str, by: str) -> bool:
    site = read_site(text, site_id)
    description = site.model_dump(mode="json", by_alias=True, exclude_unset=True)
    return service.store.put_site(site_id, site.name, description, by=by)


def _drafted(draft: Draft) -> SiteDraftOut:
    description = draft.description()
    try:
        site_from_data(description)
    except BadSite as bad:
        return SiteDraftOut(description=description, remarks=draft.remarks, faults=[str(it) for it in bad.faults])
    return SiteDraftOut(description=description, remarks=draft.remarks, faults=[])


async def _text(request: Request) -> str:
    try:
        return (await request.body()).decode("utf-8")
    except UnicodeDecodeError:
        raise BadDraft("The text is not UTF-8. Save it as UTF-8 and send it again.") from None


def _versions(service: Service, site_id: str) -> list[SiteVersion]:
    found = service.store.site_versions(site_id)
    if not found:
        raise _unknown(service, site_id)
    return found


def _one(service: Service, site_id: str, version: int) -> SiteVersion:
    found = service.store.site_version(site_id, version)
    if found is None:
        raise (
            _unknown(service, site_id)
            if service.store.site(site_id) is None
            else UnknownSite(f"{site_id}, version {version}")
        )
    return found


def _unknown(service: Service, site_id: str) -> UnknownSite:
    return UnknownSite(site_id, [it.id for it in service.store.headings()])


def _heading(it: SiteVersion) -> dict[str, Any]:
    return {name: getattr(it, name) for name in ("version", "name", "stored_at", "stored_by")}
