"""Who watches a case is handed its events in order, or looks them up when it is not sure that none is missing."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Awaitable, Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

from api.cases.live import MOST_HELD, Live, Lookout
from api.cases.state import CaseEvent

T = TypeVar("T")


def in_a_loop(watch: Callable[[], Awaitable[T]]) -> T:
    """Return what comes of it in an event loop of its own; where a browser is driven this thread has one already."""

    async def awaited() -> T:
        return await watch()

    with ThreadPoolExecutor(1) as pool:
        return pool.submit(lambda: asyncio.run(awaited())).result()


def event(seq: int) -> CaseEvent:
    """Return the note of this number."""
    return CaseEvent(seq, "note", "2026-05-04T12:00:00.000Z", "local", {"text": str(seq)})


def seqs(events: Sequence[CaseEvent] | None) -> list[int] | None:
    """Return the numbers of events that were handed over, None when they are to be looked up."""
    return None if events is None else [it.seq for it in events]


def taken(*told: Sequence[int], seen: int = 0) -> list[int] | None:
    """Return what one who has seen some events takes after these were told."""

    async def watch() -> list[int] | None:
        live = Live()
        with live.watch("case", seen) as watching:
            watching.clear()
            for numbers in told:
                live.changed("case", [event(it) for it in numbers])
            return seqs(watching.take())

    return in_a_loop(watch)


def test_whoever_begins_to_watch_looks_up_what_there_is() -> None:
    async def watch() -> list[int] | None:
        with Live().watch("case", 3) as watching:
            return seqs(watching.take())

    assert in_a_loop(watch) is None


def test_events_told_are_handed_over_in_order() -> None:
    assert taken([1], [2, 3]) == [1, 2, 3]
    assert taken([2], [1]) == [1, 2]


def test_events_seen_already_are_left_out() -> None:
    assert taken([4, 5], [6], seen=5) == [6]
    assert taken([4, 5], seen=5) == []


def test_with_a_gap_events_are_looked_up() -> None:
    assert taken([1], [3]) is None
    assert taken([7], seen=5) is None


def test_who_is_only_told_that_something_changed_looks_it_up() -> None:
    assert taken([1], []) is None
    assert taken([], [1]) is None


def test_what_piles_up_is_dropped_and_looked_up() -> None:
    assert taken(*([it] for it in range(1, MOST_HELD + 1))) == list(range(1, MOST_HELD + 1))
    assert taken(*([it] for it in range(1, MOST_HELD + 2))) is None


def test_events_of_another_case_wake_nobody() -> None:
    async def watch() -> list[int] | None:
        live = Live()
        with live.watch("case") as watching:
            watching.clear()
            live.changed("another", [event(1)])
            return seqs(watching.take())

    assert in_a_loop(watch) == []


def test_a_version_that_is_held_already_wakes_nobody_and_a_later_one_does() -> None:
    async def watch() -> tuple[list[int] | None, list[int] | None]:
        live = Live()
        with live.watch("case", 2) as watching:
            watching.clear()
            live.changed("case", [event(3)])
            live.wake_late({"case": 3, "another": 9})
            first = seqs(watching.take())
            live.wake_late({"case": 4})
            return first, seqs(watching.take())

    assert in_a_loop(watch) == ([3], None)


def test_a_change_that_nobody_told_of_is_noticed() -> None:
    live = Live()
    asked: list[Sequence[str]] = []

    def versions(case_ids: Sequence[str]) -> Mapping[str, int]:
        asked.append(case_ids)
        return {"case": 8}

    async def watch() -> list[int] | None:
        with live.watch("case", 7) as watching:
            watching.clear()
            lookout = Lookout(live, versions, every_s=0.01)
            await watching.wait(60)
            await asyncio.to_thread(lookout.close)
            return seqs(watching.take())

    assert in_a_loop(watch) is None
    assert ["case"] in asked


def test_nobody_is_asked_for_when_nobody_watches() -> None:
    asked = threading.Event()

    def versions(_: Sequence[str]) -> Mapping[str, int]:
        asked.set()
        return {}

    lookout = Lookout(Live(), versions, every_s=0.01)
    is_asked = asked.wait(0.1)
    lookout.close()

    assert not is_asked
