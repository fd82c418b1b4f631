"""Send the events of a case as they come, as server-sent events that go on where they broke off."""

from __future__ import annotations

import time
from collections.abc import AsyncIterator
from datetime import UTC, datetime

from anyio import to_thread

from api.cases.state import CaseEvent, fold
from api.cases.views import describe_event, resumes_at
from api.cases.work import Cases

HEARTBEAT_S = 15.0
MOST_S = 900.0
"""A stream ends after this long, so that whoever may no longer see the case does not; the client comes back."""

RETRY_MS = 2000
AT_ONCE = 100


async def stream_case(cases: Cases, org: str, case_id: str, after: int) -> AsyncIterator[str]:
    """Yield the events after a number, then each new one; a slow reader is read for as slowly, and nothing piles up."""
    ends = time.monotonic() + MOST_S
    beat = time.monotonic()
    ring = await to_thread.run_sync(_when_it_rings, cases, org, case_id)
    yield f"retry: {RETRY_MS}\n\n"
    with cases.live.watch(case_id, after) as watch:
        while time.monotonic() < ends and not cases.live.is_closing:
            events = watch.take()
            if events is None:
                events = await to_thread.run_sync(cases.records.events_after, org, case_id, watch.seen, AT_ONCE)
            if events:
                yield "".join(_message(it) for it in events)
                watch.seen = events[-1].seq
            if any(_moves_the_bell(it) for it in events):
                ring = await to_thread.run_sync(_when_it_rings, cases, org, case_id)
            if len(events) == AT_ONCE:
                watch.tell(())
                continue
            if ring and datetime.now(UTC) >= ring:
                ring = None
                yield 'event: resumes\ndata: {"says": "Automatic works again."}\n\n'
            if time.monotonic() - beat >= HEARTBEAT_S:
                beat = time.monotonic()
                yield ": still here\n\n"
            await watch.wait(_pause(ring, beat))


def _when_it_rings(cases: Cases, org: str, case_id: str) -> datetime | None:
    """Return when automatic resumes, if that is still to come."""
    _, events = cases.records.read(org, case_id)
    at = resumes_at(cases.service, org, fold(events))
    return at if at and at > datetime.now(UTC) else None


def _moves_the_bell(event: CaseEvent) -> bool:
    """Say whether automatic may resume at another time after this event than before it."""
    return event.kind in ("opened", "understood", "site", "closed", "reopened")


def _pause(ring: datetime | None, beat: float) -> float:
    """Return how long there is nothing to do unless the case changes: until the bell or the next sign of life."""
    pause_s = beat + HEARTBEAT_S - time.monotonic()
    if ring is not None:
        pause_s = min(pause_s, (ring - datetime.now(UTC)).total_seconds())
    return max(0.01, pause_s)


def _message(event: CaseEvent) -> str:
    return f"id: {event.seq}\nevent: change\ndata: {describe_event(event).model_dump_json()}\n\n"
