"""Show a trainer how a class goes on, as it does: the whole overview each time something changed."""

from __future__ import annotations

import asyncio
import time
from collections.abc import AsyncIterator
from typing import Annotated

from anyio import to_thread
from fastapi import APIRouter, Depends, Path, Request
from fastapi.concurrency import run_in_threadpool
from starlette.responses import StreamingResponse

from api.cases.live import Live
from api.quiz_store import QuizStore, sittings_of, watch_name
from api.quizzes import PROBLEM, QuizStoreDep, kept_class, kept_quiz
from api.quizzes_views import overview
from api.strict_query import refuse_unknown_query
from api.who import needs

GATHER_S = 0.3
"""So long answers are gathered before the next overview is sent: a class answers in bursts."""

LOOK_AGAIN_S, HEARTBEAT_S, MOST_S = 5.0, 15.0, 900.0
RETRY_MS = 2000

Code = Annotated[str, Path(pattern=r"^[0-9A-Za-z]{6}$")]

router = APIRouter(
    prefix="/v1",
    tags=["training"],
    responses=PROBLEM,
    dependencies=[Depends(refuse_unknown_query), Depends(needs("training"))],
)


@router.get(
    "/classes/{code}/stream",
    responses={200: {"description": "Overviews as they change.", "content": {"text/event-stream": {}}}},
    response_class=StreamingResponse,
)
async def stream_class(code: Code, store: QuizStoreDep, request: Request) -> StreamingResponse:
    """Send how far the learners of a class are at once and after every change, until the class is closed."""
    found = await run_in_threadpool(kept_class, store, code)
    events = _overviews(store, found.code, request.app.state.live)
    headers = {"cache-control": "no-store", "x-accel-buffering": "no"}
    return StreamingResponse(events, media_type="text/event-stream", headers=headers)


async def _overviews(store: QuizStore, code: str, live: Live) -> AsyncIterator[str]:
    """Yield the overview whenever it is another; a slow reader misses what was between, and nothing piles up."""
    ends, beat, told = time.monotonic() + MOST_S, time.monotonic(), ""
    yield f"retry: {RETRY_MS}\n\n"
    with live.watch(watch_name(code)) as watch:
        while time.monotonic() < ends and not live.is_closing:
            watch.clear()
            says, is_open = await to_thread.run_sync(_said, store, code)
            if says != told:
                told = says
                yield f"event: change\ndata: {says}\n\n"
            elif time.monotonic() - beat >= HEARTBEAT_S:
                beat = time.monotonic()
                yield ": still here\n\n"
            if not is_open:
                return
            await watch.wait(LOOK_AGAIN_S)
            await asyncio.sleep(GATHER_S)


def _said(store: QuizStore, code: str) -> tuple[str, bool]:
    """Return the overview as JSON, and whether the class is open."""
    found = kept_class(store, code)
    quiz, sittings = kept_quiz(store, found.quiz), sittings_of(store.database, [found.code])
    return overview(found, quiz, sittings).model_dump_json(), found.is_open
