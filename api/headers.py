"""Send headers with every answer that keep foreign content out of the page and old answers out of use."""

from __future__ import annotations

from collections.abc import Mapping

from starlette.datastructures import MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

POLICY = "; ".join(
    (
        "default-src 'self'",
        "base-uri 'none'",
        "object-src 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
    )
)
"""The page's own files and nothing else: no foreign script, style, picture or request, and nothing inline."""

HEADERS: Mapping[str, str] = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    # Files are asked for again by their tag, so that modules of two versions never mix; answers are about one moment.
    "cache-control": "no-cache",
}


def with_headers(app: ASGIApp) -> ASGIApp:
    """Return the application with these headers on each of its answers; a header that an answer sets itself stays.

    What a request's state holds under `headers` is sent too.
    """

    async def answer(scope: Scope, receive: Receive, send: Send) -> None:
        told = scope.setdefault("state", {})

        async def send_with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in told.get("headers", {}).items():
                    headers[name] = value
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
            await send(message)

        await app(scope, receive, send_with_headers)

    return answer
