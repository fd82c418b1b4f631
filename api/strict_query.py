"""Refuse query parameters that an endpoint does not know, which would otherwise be ignored without a word."""

from __future__ import annotations

from fastapi import Request
from fastapi.exceptions import RequestValidationError
from fastapi.routing import APIRoute


async def refuse_unknown_query(request: Request) -> None:
    """Raise RequestValidationError that names every query parameter the endpoint has none of; needs no thread."""
    if not request.url.query:
        return
    route = request.scope["route"]
    assert isinstance(route, APIRoute)
    known = {it.alias for it in route.dependant.query_params}
    unknown = [name for name in request.query_params if name not in known]
    if unknown:
        allowed = f"allowed here: {', '.join(sorted(known)) or 'none'}"
        raise RequestValidationError(
            [
                {"loc": ("query", name), "msg": f"Unknown query parameter; {allowed}", "type": "extra"}
                for name in unknown
            ]
        )
