"""Refuse a body that is too large, as problem details, whether or not it says its length."""

from __future__ import annotations

from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from api.problems import problem

MOST_BODY_BYTES = 1_000_000
MOST_FILE_BYTES = 8_000_000
FILES = "/attachments"
TOO_LARGE = "The body is larger than {} bytes; send less, or store the site and name it by id."


def with_body_limit(app: ASGIApp) -> ASGIApp:
    """Return the application behind a limit on what it is sent."""

    async def answer(scope: Scope, receive: Receive, send: Send) -> None:
        most = MOST_FILE_BYTES if scope.get("path", "").endswith(FILES) else MOST_BODY_BYTES
        lengths = [value for name, value in scope.get("headers", ()) if name == b"content-length"]
        if any(it.isdigit() and int(it) > most for it in lengths):
            await problem(413, "too-large", TOO_LARGE.format(most))(scope, receive, send)
            return
        await app(scope, _counted(receive, most), send)

    return answer


def _counted(receive: Receive, most: int) -> Receive:
    taken = 0

    async def take() -> Message:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > most:
            raise HTTPException(413, TOO_LARGE.format(most))
        return message

    return take
