"""The endpoints of cases."""

from __future__ import annotations

import json
import re
from collections.abc import AsyncIterator
from typing import Annotated, Any
from urllib.parse import urlencode

from fastapi import APIRouter, Body, Depends, Header, Path, Query, Request, Response
from fastapi.responses import HTMLResponse, StreamingResponse
from starlette.concurrency import run_in_threadpool

from api.cases.conditions import IdempotencyKey, IfMatch, IfNoneMatch, etag, expected_version, has_it
from api.cases.done import Answer, keyed_request
from api.cases.errors import TooManyAttachments, UnknownAttachment
from api.cases.escalation import EscalationOut, escalation_packet, escalation_page, page_policy
from api.cases.events import CaseIn, EventsIn
from api.cases.examples import CASE_EXAMPLES, EVENTS_EXAMPLES
from api.cases.files import KINDS, MOST_FILES, file_row
from api.cases.find import Wanted, list_cases, similar_cases
from api.cases.ids import FORM
from api.cases.reason import diagnose_state, plan_state
from api.cases.stream import stream_case
from api.cases.views import (
    CaseEventsOut,
    CaseListOut,
    CaseOut,
    CasePlanOut,
    ChangedOut,
    SimilarListOut,
    SimilarOut,
    describe_case,
    describe_event,
    summarise,
)
from api.cases.work import Cases, add_events, add_made, open_new_case
from api.schemas import DiagnosisOut, In, ProblemOut
from api.sheet_pdf import print_pdf
from api.strict_query import refuse_unknown_query
from api.who import CaseReader, CaseWriter

PROBLEM: dict[int | str, dict[str, Any]] = {
    "default": {"model": ProblemOut, "description": "What was wrong, by field."}
}
CHANGED: dict[int | str, dict[str, Any]] = {
    409: {"description": "The case is closed, or holds as many files as it may."},
    412: {"description": "The case was changed meanwhile; its present tag is in ETag."},
    428: {"description": "If-Match is missing."},
}
STREAM: dict[int | str, dict[str, Any]] = {
    200: {"description": "Events as they come.", "content": {"text/event-stream": {}}}
}
PDF: dict[int | str, dict[str, Any]] = {
    200: {"description": "One page.", "content": {"application/pdf": {}}},
    503: {"description": "Nothing on the machine of the service can print PDF."},
}
FILE: dict[int | str, dict[str, Any]] = {200: {"description": "The file.", "content": {it: {} for it in KINDS}}}
FILE_BODY = {
    "requestBody": {
        "required": True,
        "content": {it: {"schema": {"type": "string", "format": "binary"}} for it in KINDS},
    }
}

FIRST_FIELDS = re.compile(rb'\{"case":\{"id":"([^"]+)","number":[0-9]+,"version":([0-9]+),')

CaseId = Annotated[str, Path(pattern=FORM, min_length=26, max_length=26)]
Word = Annotated[str | None, Query(max_length=80)]

router = APIRouter(prefix="/v1/cases", tags=["cases"], responses=PROBLEM, dependencies=[Depends(refuse_unknown_query)])


async def cases_of(request: Request) -> Cases:
    """Return what the service works on cases with."""
    cases: Cases = request.app.state.cases
    return cases


CasesDep = Annotated[Cases, Depends(cases_of)]


@router.post("", status_code=201)
def open_case(
    request: Annotated[CaseIn, Body(openapi_examples=CASE_EXAMPLES)],
    cases: CasesDep,
    who: CaseWriter,
    idempotency_key: IdempotencyKey = None,
) -> ChangedOut:
    """Open a case; what its text means and what is most likely wrong comes back with it."""
    keyed = keyed_request(who, idempotency_key, b"open", _asked(request))
    return _changed(open_new_case(cases, who, request, keyed))


@router.get("")
def read_cases(
    cases: CasesDep,
    who: CaseReader,
    status: Annotated[str | None, Query(pattern="^(open|closed)$")] = None,
    site: Word = None,
    cause: Word = None,
    q: Annotated[str | None, Query(max_length=400, description="Words that all occur in the case.")] = None,
    cursor: Annotated[str | None, Query(pattern=FORM)] = None,
    limit: Annotated[int, Query(ge=1, le=100)] = 50,
) -> CaseListOut:
    """Return cases, newest first."""
    rows, following = list_cases(cases.records, who.org, Wanted(status, site, cause, q, cursor, limit))
    asked = {"status": status, "site": site, "cause": cause, "q": q, "limit": limit, "cursor": following}
    address = f"/v1/cases?{urlencode({name: it for name, it in asked.items() if it is not None})}"
    return CaseListOut(cases=[summarise(it) for it in rows], next=address if following else None)


@router.get("/{case_id}", responses={304: {"description": "You have this version."}})
def read_case(
    case_id: CaseId, cases: CasesDep, who: CaseReader, response: Response, if_none_match: IfNoneMatch = None
) -> CaseOut:
    """Return a case as it is, with its tag in ETag."""
    row, state = cases.states.read(cases.records, who.org, case_id)
    if has_it(if_none_match, row.version):
        return Response(status_code=304, headers={"ETag": etag(row.version)})  # type: ignore[return-value]
    response.headers["ETag"] = etag(row.version)
    return describe_case(cases.service, who.org, row, state)


@router.get("/{case_id}/diagnosis")
def read_case_diagnosis(case_id: CaseId, cases: CasesDep, who: CaseReader, response: Response) -> DiagnosisOut:
    """Return the diagnosis of a case as it is."""
    row, state = cases.states.read(cases.records, who.org, case_id)
    response.headers["ETag"] = etag(row.version)
    return diagnose_state(cases.service, cases.opened, who.org, state)


@router.get("/{case_id}/plan")
def read_case_plan(case_id: CaseId, cases: CasesDep, who: CaseReader, response: Response) -> CasePlanOut:
    """Return the best step now for who is there, what else can be done, doubtful answers, and two faults at once."""
    row, state = cases.states.read(cases.records, who.org, case_id)
    response.headers["ETag"] = etag(row.version)
    return CasePlanOut(version=row.version, plan=plan_state(cases.service, cases.opened, who.org, state))


@router.post("/{case_id}/events", status_code=201, responses=CHANGED)
def add_case_events(
    case_id: CaseId,
    request: Annotated[EventsIn, Body(openapi_examples=EVENTS_EXAMPLES)],
    cases: CasesDep,
    who: CaseWriter,
    if_match: IfMatch = None,
    idempotency_key: IdempotencyKey = None,
) -> ChangedOut:
    """Add events to a case, all or none; the next check comes back with them."""
    keyed = keyed_request(who, idempotency_key, case_id.encode(), _asked(request))
    expected = expected_version(if_match)
    return _changed(add_events(cases, who, case_id, request.events, expected, keyed))


@router.get("/{case_id}/events")
def read_case_events(
    case_id: CaseId,
    cases: CasesDep,
    who: CaseReader,
    after: Annotated[int, Query(ge=0, le=1_000_000)] = 0,
    limit: Annotated[int, Query(ge=1, le=500)] = 100,
) -> CaseEventsOut:
    """Return the events of a case in order."""
    cases.records.case(who.org, case_id)
    events = cases.records.events_after(who.org, case_id, after, limit + 1)
    more = len(events) > limit
    address = f"/v1/cases/{case_id}/events?after={events[limit - 1].seq}&limit={limit}" if more else None
    return CaseEventsOut(events=[describe_event(it) for it in events[:limit]], next=address)


@router.get("/{case_id}/stream", responses=STREAM, response_class=StreamingResponse)
async def stream_case_events(
    case_id: CaseId,
    cases: CasesDep,
    who: CaseReader,
    after: Annotated[int, Query(ge=0, le=1_000_000)] = 0,
    last_event_id: Annotated[str | None, Header(alias="Last-Event-ID", max_length=20)] = None,
) -> StreamingResponse:
    """Send the events after a number and each new one as it comes; `Last-Event-ID` goes on where it broke off."""
    await run_in_threadpool(cases.records.case, who.org, case_id)
    start = int(last_event_id) if last_event_id and last_event_id.isdecimal() else after
    events: AsyncIterator[str] = stream_case(cases, who.org, case_id, start)
    headers = {"cache-control": "no-store", "x-accel-buffering": "no"}
    return StreamingResponse(events, media_type="text/event-stream", headers=headers)


@router.get("/{case_id}/similar")
def find_similar_cases(case_id: CaseId, cases: CasesDep, who: CaseReader) -> SimilarListOut:
    """Return the organisation's cases that are most like this one."""
    found = similar_cases(cases.records, who.org, case_id)
    return SimilarListOut(
        cases=[SimilarOut(case=summarise(it.row), likeness=it.likeness, shares=list(it.shares)) for it in found]
    )


@router.get("/{case_id}/escalation")
def read_escalation(case_id: CaseId, cases: CasesDep, who: CaseReader) -> EscalationOut:
    """Return all that somebody far away needs to help with a case, and whether help is wanted."""
    row, events = cases.records.read(who.org, case_id)
    return escalation_packet(cases.service, cases.opened, who.org, row, events)


@router.get("/{case_id}/escalation.html", response_class=HTMLResponse)
def read_escalation_page(case_id: CaseId, cases: CasesDep, who: CaseReader) -> Response:
    """Return the same as a page that prints on one sheet."""
    page = escalation_page(read_escalation(case_id, cases, who))
    return HTMLResponse(page, headers={"content-security-policy": page_policy()})


@router.get("/{case_id}/escalation.pdf", responses=PDF, response_class=Response)
def read_escalation_pdf(case_id: CaseId, cases: CasesDep, who: CaseReader) -> Response:
    """Return the same as PDF, where this machine can print one."""
    printed = print_pdf(escalation_page(read_escalation(case_id, cases, who)))
    named = {"content-disposition": f'attachment; filename="case-{case_id}.pdf"'}
    return Response(printed, media_type="application/pdf", headers=named)


@router.post("/{case_id}/attachments", status_code=201, responses=CHANGED, openapi_extra=FILE_BODY)
async def add_attachment(
    case_id: CaseId,
    request: Request,
    cases: CasesDep,
    who: CaseWriter,
    name: Annotated[str, Query(min_length=1, max_length=120)] = "file",
    idempotency_key: IdempotencyKey = None,
) -> ChangedOut:
    """Add a picture or a short document to a case; the body is the file."""
    content = await request.body()
    file = file_row(content, request.headers.get("content-type", ""), name)
    keyed = keyed_request(who, idempotency_key, case_id.encode(), str(file["sha256"]).encode())
    return await run_in_threadpool(_attach, cases, who, case_id, file, keyed)


@router.get("/{case_id}/attachments/{attachment_id}", responses=FILE, response_class=Response)
def read_attachment(
    case_id: CaseId, attachment_id: Annotated[str, Path(pattern=FORM)], cases: CasesDep, who: CaseReader
) -> Response:
    """Return a file of a case."""
    found = cases.records.attachment(who.org, case_id, attachment_id)
    if found is None:
        raise UnknownAttachment(attachment_id)
    shown = "inline" if found.media_type.startswith("image/") else "attachment"
    headers = {
        "content-disposition": shown,
        "content-security-policy": "default-src 'none'; sandbox",
        "cache-control": "private, max-age=86400, immutable",
    }
    return Response(found.content, media_type=found.media_type, headers=headers)


def _attach(cases: Cases, who: CaseWriter, case_id: str, file: dict[str, Any], keyed: Any) -> ChangedOut:
    _, state = cases.states.read(cases.records, who.org, case_id)
    if len(state.attachments) >= MOST_FILES:
        raise TooManyAttachments(f"The case holds {MOST_FILES} files already, which is as many as are kept.")
    data = {name: file[name] for name in ("id", "name", "media_type", "size_bytes", "sha256")}
    answer = add_made(cases, who, case_id, keyed, "attachment", data, file)
    made = json.loads(answer.body)["events"][0]["data"]["id"]
    return _changed(answer, f"/v1/cases/{case_id}/attachments/{made}")


def _asked(request: In) -> bytes:
    """Return what was asked, without fields that a later release adds: a retry may cross an update."""
    return request.model_dump_json(exclude_unset=True).encode("utf-8", "replace")


def _changed(answer: Answer, made: str | None = None) -> ChangedOut:
    """Return the answer as it was or will be kept, byte for byte."""
    case_id, version = _told(answer.body)
    headers = {"ETag": etag(version), "Location": made or f"/v1/cases/{case_id}"}
    return Response(answer.body, answer.status, headers, "application/json")  # type: ignore[return-value]


def _told(body: bytes) -> tuple[str, int]:
    """Return the id and version of the case in a kept answer, which stand first in those of this release."""
    if found := FIRST_FIELDS.match(body):
        return found[1].decode(), int(found[2])
    case = json.loads(body)["case"]
    return case["id"], case["version"]
