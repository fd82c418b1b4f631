"""Answer every error as RFC 9457 problem details that name the field and say what to do."""

from __future__ import annotations

import logging
import re
import sqlite3
from collections.abc import Mapping
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from sqlalchemy.exc import InterfaceError, OperationalError, SQLAlchemyError
from sqlalchemy.exc import TimeoutError as NoConnection
from starlette.exceptions import HTTPException

from api.access import errors as access_errors
from api.cases import errors as case_errors
from api.sheet_pdf import NoPrinter
from api.sites.draft import BadDraft
from api.storage.database import BadDatabase
from api.store import StaleVersion
from api.webhooks.address import BadAddress
from api.webhooks.outbox import UnknownWebhook
from api.who import NotAllowed, NotSignedIn
from diag.case_text import BadCaseText
from diag.classify import BadReading
from diag.engine_errors import EngineError, FactRefused
from diag.errors import (
    BadSite,
    BadTime,
    DiagError,
    UnknownCause,
    UnknownCheck,
    UnknownOutcome,
    UnknownPart,
    UnknownSite,
    UnknownSymptom,
)
from knowledge.faults import Fault

LOG = logging.getLogger(__name__)
MEDIA_TYPE = "application/problem+json"

KINDS: Mapping[type[Exception], tuple[int, str, str]] = {
    UnknownSite: (404, "unknown-site", "site"),
    UnknownCause: (404, "unknown-cause", "cause_id"),
    UnknownSymptom: (422, "unknown-symptom", "symptoms"),
    UnknownPart: (422, "unknown-part", "part"),
    UnknownCheck: (422, "unknown-check", "findings"),
    UnknownOutcome: (422, "unknown-outcome", "findings"),
    BadReading: (422, "bad-reading", "findings"),
    BadTime: (422, "bad-time", "at"),
    BadCaseText: (422, "bad-text", "events"),
    BadSite: (422, "bad-site", "site"),
    FactRefused: (422, "bad-value", "site"),
    case_errors.UnknownCase: (404, "unknown-case", "case_id"),
    case_errors.UnknownAttachment: (404, "unknown-attachment", "attachment_id"),
    case_errors.StaleCase: (412, "stale", "If-Match"),
    case_errors.NoVersionGiven: (428, "version-needed", "If-Match"),
    case_errors.BadVersion: (422, "bad-version", "If-Match"),
    case_errors.CaseClosed: (409, "case-closed", "events"),
    case_errors.BadEvent: (422, "bad-event", "events"),
    case_errors.KeyReused: (422, "key-reused", "Idempotency-Key"),
    case_errors.BadKey: (422, "bad-key", "Idempotency-Key"),
    case_errors.BadAttachment: (415, "bad-attachment", "body"),
    case_errors.TooManyAttachments: (409, "too-many-attachments", "body"),
    access_errors.WrongSignIn: (401, "wrong-sign-in", "login"),
    access_errors.WeakPassword: (422, "weak-password", "password"),
    access_errors.LoginTaken: (409, "login-taken", "login"),
    access_errors.UnknownPerson: (404, "unknown-person", "person_id"),
    access_errors.UnknownKey: (404, "unknown-key", "key_id"),
    access_errors.UnknownOrganisation: (404, "unknown-organisation", "org"),
    access_errors.LastAdministrator: (409, "last-administrator", "role"),
    access_errors.ForeignPage: (403, "foreign-page", "Origin"),
    access_errors.TooMany: (429, "quota-exceeded", "rate"),
    BadAddress: (422, "bad-address", "url"),
    UnknownWebhook: (404, "unknown-webhook", "webhook_id"),
    BadDraft: (422, "bad-draft", "body"),
    NotSignedIn: (401, "not-signed-in", "Authorization"),
    NotAllowed: (403, "not-allowed", "scope"),
    NoPrinter: (503, "no-printer", "pdf"),
    BadDatabase: (503, "database-away", "database"),
}
"""Status, type and field of each error."""

TITLES = {
    401: "Not signed in",
    403: "Not allowed",
    404: "Not found",
    405: "Not allowed",
    408: "Too slow",
    409: "Does not fit",
    412: "Changed meanwhile",
    413: "Too large",
    415: "Not of a kind that is kept",
    422: "Cannot be used",
    428: "Version needed",
    429: "Too many requests",
    503: "Not available now",
}
AWAY_SECONDS = 5
SQLITE_AWAY = ("locked", "unable to open", "disk I/O error", "readonly", "malformed")
FULL = ("disk is full", "No space left")


def add_problem_handlers(app: FastAPI) -> None:
    """Make the service answer all its errors as problem details."""
    app.add_exception_handler(DiagError, _known)
    app.add_exception_handler(EngineError, _engine)
    app.add_exception_handler(RequestValidationError, _invalid)
    app.add_exception_handler(HTTPException, _http)
    app.add_exception_handler(StaleVersion, _stale)
    app.add_exception_handler(SQLAlchemyError, _database)
    app.add_exception_handler(Exception, _unexpected)


def problem(status: int, kind: str, detail: str, errors: list[dict[str, Any]] | None = None) -> JSONResponse:
    """Return one problem as a response."""
    content = {
        "type": f"urn:ventsleuth:problem:{kind}",
        "title": TITLES.get(status, "Not done"),
        "status": status,
        "detail": detail,
        "errors": errors or [],
    }
    return JSONResponse(content, status, media_type=MEDIA_TYPE)


def describe_fault(fault: Fault) -> dict[str, Any]:
    """Return a fault of a description with its field, position and what is allowed."""
    return {
        "field": f"site.{fault.where}" if fault.where else "site",
        "line": fault.line,
        "column": fault.column,
        "detail": fault.message,
        "allowed": list(fault.allowed),
        "nearest": list(fault.nearest),
    }


async def _known(_: Request, error: Exception) -> JSONResponse:
    status, kind, field = next(
        (found for shape, found in KINDS.items() if isinstance(error, shape)), (422, "refused", "body")
    )
    if isinstance(error, BadSite):
        return problem(status, kind, str(error), [describe_fault(fault) for fault in error.faults])
    named = {"field": field, "detail": str(error), "nearest": list(getattr(error, "nearest", ()))}
    response = problem(status, kind, str(error), [named])
    if isinstance(error, case_errors.StaleCase):
        response.headers["ETag"] = f'"{error.version}"'
    if isinstance(error, access_errors.TooMany):
        response.headers["Retry-After"] = str(error.wait_s)
    if isinstance(error, NotSignedIn):
        response.headers["WWW-Authenticate"] = "Bearer"
    return response


async def _engine(request: Request, error: Exception) -> JSONResponse:
    if isinstance(error, FactRefused):
        return await _known(request, error)
    LOG.error("rule engine: %s", error)
    response = problem(503, "engine-away", "The rule engine is restarting. Send the request again in a few seconds.")
    response.headers["Retry-After"] = "2"
    return response


async def _database(request: Request, error: Exception) -> JSONResponse:
    """Answer 503 when the database is away or full, so that the phone keeps what it has and tries again."""
    if not is_away(error):
        return await _unexpected(request, error)
    LOG.error("database: %s", type(getattr(error, "orig", error)).__name__)
    if any(it in str(error) for it in FULL):
        detail = "The disk of the database is full. Nothing of this was kept. Tell whoever looks after the service."
        response = problem(503, "disk-full", detail)
    else:
        detail = "The database does not answer. Nothing of this was kept; send it again in a few seconds."
        response = problem(503, "database-away", detail)
    response.headers["Retry-After"] = str(AWAY_SECONDS)
    return response


def is_away(error: Exception) -> bool:
    """Say whether the database could not be reached or could not take more; all else is a defect of ours."""
    if isinstance(error, NoConnection):
        return True
    cause = getattr(error, "orig", None)
    if isinstance(cause, sqlite3.Error):
        return any(it in str(cause) for it in SQLITE_AWAY + FULL)
    return isinstance(error, OperationalError | InterfaceError) or bool(getattr(error, "connection_invalidated", False))


async def _stale(_: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, StaleVersion)
    detail = f"The site was changed meanwhile and is at version {error.version} now. Read it again before you store it."
    response = problem(412, "stale", detail, [{"field": "If-Match", "detail": detail, "nearest": []}])
    response.headers["ETag"] = f'"{error.version}"'
    return response


async def _invalid(_: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, RequestValidationError)
    errors = [
        {"field": ".".join(str(step) for step in it["loc"]), "detail": it["msg"], "nearest": []}
        for it in error.errors()
    ]
    detail = f"{errors[0]['field']}: {errors[0]['detail']}" if errors else "The request cannot be read."
    return problem(422, "bad-request", detail, errors)


async def _http(request: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, HTTPException)
    allowed = _allowed(request) if error.status_code in (404, 405) else set()
    if allowed:
        detail = f"{request.method} is not done here; allowed: {', '.join(sorted(allowed))}."
        response = problem(405, "http", detail)
        response.headers["Allow"] = ", ".join(sorted(allowed))
        return response
    response = problem(error.status_code, "http", str(error.detail))
    response.headers.update(error.headers or {})
    return response


def _allowed(request: Request) -> set[str]:
    """Return the methods of all operations at the address; empty when it has none or the one that was asked for.

    The framework keeps the operations of an address apart, and leaves a method it does not know to the page.
    """
    found: set[str] = set()
    for path, operations in request.app.openapi()["paths"].items():
        if re.fullmatch(re.sub(r"{\w+}", "[^/]+", path), request.url.path):
            found |= {it.upper() for it in operations}
    return set() if request.method in found else found


async def _unexpected(_: Request, error: Exception) -> JSONResponse:
    LOG.error("unexpected error", exc_info=error)
    return problem(500, "unexpected", "Something went wrong here. It was noted; try again, or report what you sent.")
