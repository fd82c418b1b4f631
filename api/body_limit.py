"""Refuse a body that is too large or too slow in coming, as problem details, whether or not it says its length."""

from __future__ import annotations

import asyncio
import time

from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from api.problems import problem

MOST_BODY_BYTES = 1_000_000
MOST_FILE_BYTES = 8_000_000
MOST_SILENCE_S = 20.0
MOST_BODY_S = 300.0
"""For 8 MB over a poor line; whoever sends a byte now and then only to hold the line is cut off."""

FILES = "/attachments"
TOO_LARGE = "The body is larger than {} bytes; send less, or store the site and name it by id."
TOO_SLOW = "The body came too slowly and was given up. Nothing of it was kept; send it again."


def with_body_limit(app: ASGIApp) -> ASGIApp:
    """Return the application behind a limit on what it is sent."""

    async def answer(scope: Scope, receive: Receive, send: Send) -> None:
        most = MOST_FILE_BYTES if scope.get("path", "").endswith(FILES) else MOST_BODY_BYTES
        lengths = [value for name, value in scope.get("headers", ()) if name == b"content-length"]
        if any(it.isdigit() and int(it) > most for it in lengths):
            await problem(413, "too-large", TOO_LARGE.format(most))(scope, receive, send)
            return
        await app(scope, _limited(receive, most), send)

    return answer


def _limited(receive: Receive, most: int) -> Receive:
    taken, is_whole, ends = 0, False, time.monotonic() + MOST_BODY_S

    async def take() -> Message:
        nonlocal taken, is_whole
        if is_whole:
            return await receive()  # what comes now is that the caller has gone, whenever that is
        message = await _in_time(receive, min(MOST_SILENCE_S, ends - time.monotonic()))
        is_whole = not message.get("more_body", False)
        taken += len(message.get("body", b""))
        if taken > most:
            raise HTTPException(413, TOO_LARGE.format(most))
        return message

    return take


async def _in_time(receive: Receive, seconds: float) -> Message:
    try:
        async with asyncio.timeout(seconds):
            return await receive()
    except TimeoutError:
        raise HTTPException(408, TOO_SLOW, {"connection": "close"}) from None
