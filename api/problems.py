"""Answer every error as RFC 9457 problem details that name the field and say what to do."""

from __future__ import annotations

import logging
from collections.abc import Mapping
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from starlette.exceptions import HTTPException

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
}
"""Status, type and field of each error."""

TITLES = {404: "Not found", 405: "Not allowed", 413: "Too large", 422: "Cannot be used", 503: "Not available now"}


def add_problem_handlers(app: FastAPI) -> None:
    """Make the service answer all its errors as problem details."""
    app.add_exception_handler(DiagError, _known)
    app.add_exception_handler(EngineError, _engine)
    app.add_exception_handler(RequestValidationError, _invalid)
    app.add_exception_handler(HTTPException, _http)
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
    return problem(status, kind, str(error), [named])


async def _engine(request: Request, error: Exception) -> JSONResponse:
    if isinstance(error, FactRefused):
        return await _known(request, error)
    LOG.error("rule engine: %s", error)
    response = problem(503, "engine-away", "The rule engine is restarting. Send the request again in a few seconds.")
    response.headers["Retry-After"] = "2"
    return response


async def _invalid(_: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, RequestValidationError)
    errors = [
        {"field": ".".join(str(step) for step in it["loc"]), "detail": it["msg"], "nearest": []}
        for it in error.errors()
    ]
    detail = f"{errors[0]['field']}: {errors[0]['detail']}" if errors else "The request cannot be read."
    return problem(422, "bad-request", detail, errors)


async def _http(_: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, HTTPException)
    response = problem(error.status_code, "http", str(error.detail))
    response.headers.update(error.headers or {})
    return response


async def _unexpected(_: Request, error: Exception) -> JSONResponse:
    LOG.error("unexpected error", exc_info=error)
    return problem(500, "unexpected", "Something went wrong here. It was noted; try again, or report what you sent.")
