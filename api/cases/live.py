"""Tell whoever watches a case that it changed: within this process, and from other nodes through the database."""

from __future__ import annotations

import asyncio
import logging
import threading
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any

import psycopg
from sqlalchemy.exc import SQLAlchemyError

from api.cases.state import CaseEvent
from api.storage.database import CONNECT_WITHIN_S, Database
from api.storage.patience import KEEP_ALIVE

LOG = logging.getLogger(__name__)
LISTEN_AGAIN_AFTER_S = 1.0
LOOK_AGAIN_S = 5.0
MOST_HELD = 20
"""Events held for one who watches; whoever falls further behind reads them from the database."""

Versions = Callable[[Sequence[str]], Mapping[str, int]]
"""Returns the versions that cases have now."""


class Live:
    """Wakes those who wait for changes of a case; safe to call from any thread."""

    def __init__(self) -> None:
        self._watches: dict[str, set[Watch]] = defaultdict(set)
        self._lock = threading.Lock()
        self.is_closing = False

    def changed(self, case_id: str, events: Sequence[CaseEvent] = ()) -> None:
        """Hand these events of a case to all who watch it; without any they look for themselves."""
        with self._lock:
            woken = list(self._watches.get(case_id, ()))
        for watch in woken:
            watch.tell(events)

    def wake_all(self) -> None:
        """Wake everybody, when it is not known what was missed."""
        for case_id in self.watched():
            self.changed(case_id)

    def watched(self) -> list[str]:
        """Return the cases that somebody watches."""
        with self._lock:
            return list(self._watches)

    def wake_late(self, versions: Mapping[str, int]) -> None:
        """Wake those who have not yet been told all there is up to these versions."""
        with self._lock:
            told = [(it, newest) for case_id, newest in versions.items() for it in self._watches.get(case_id, ())]
        for watch, newest in told:
            if watch.lacks(newest):
                watch.tell(())

    def close(self) -> None:
        """Let all streams end, so that the service can stop."""
        self.is_closing = True
        self.wake_all()

    @contextmanager
    def watch(self, case_id: str, seen: int = 0) -> Iterator[Watch]:
        """Yield a watch over a case whose events up to this number are seen, for the running event loop."""
        watch = Watch(seen)
        with self._lock:
            self._watches[case_id].add(watch)
        try:
            yield watch
        finally:
            with self._lock:
                self._watches[case_id].discard(watch)
                if not self._watches[case_id]:
                    del self._watches[case_id]


class Watch:
    """Waits for changes of one case in the running event loop."""

    def __init__(self, seen: int) -> None:
        self._loop, self._event = asyncio.get_running_loop(), asyncio.Event()
        self._lock = threading.Lock()
        self._held: list[CaseEvent] | None = None
        self.seen = seen
        """The number of the last event that was passed on."""

    def tell(self, events: Iterable[CaseEvent]) -> None:
        """Hold these events, or nothing when there are none or too many, and wake whoever waits."""
        with self._lock:
            held = [*(self._held or ()), *events]
            self._held = held if events and self._held is not None and len(held) <= MOST_HELD else None
        self._loop.call_soon_threadsafe(self._event.set)

    def lacks(self, newest: int) -> bool:
        """Say whether there is an event up to this number that is neither passed on, nor held, nor about to be read."""
        with self._lock:
            return self._held is not None and newest > max([self.seen, *(it.seq for it in self._held)])

    def take(self) -> list[CaseEvent] | None:
        """Return the events that follow those seen, or None when they have to be looked up."""
        with self._lock:
            held, self._held = self._held, []
        self._event.clear()
        if held is None:
            return None
        following = sorted((it for it in held if it.seq > self.seen), key=lambda it: it.seq)
        gapless = [it.seq for it in following] == list(range(self.seen + 1, self.seen + 1 + len(following)))
        return following if gapless else None

    def clear(self) -> None:
        """Forget what was told so far; call it before looking, so that nothing between is missed."""
        self.take()

    async def wait(self, most_s: float) -> None:
        """Return when the case changed or the time is over."""
        try:
            async with asyncio.timeout(most_s):
                await self._event.wait()
        except TimeoutError:
            return


@contextmanager
def live_events(database: Database, live: Live, versions: Versions) -> Iterator[None]:
    """Listen, within this context, to other nodes and processes on the same database."""
    listener = Listener(database.address, live) if database.address else None
    lookout = Lookout(live, versions)
    try:
        yield
    finally:
        live.close()
        lookout.close()
        if listener:
            listener.close()


class Lookout:
    """Looks now and then, for all who watch at once, whether a case moved on without anybody having said so."""

    def __init__(self, live: Live, versions: Versions, every_s: float = LOOK_AGAIN_S) -> None:
        self._live, self._versions, self._every_s = live, versions, every_s
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, name="case-lookout", daemon=True)
        self._thread.start()

    def close(self) -> None:
        """End the thread."""
        self._stop.set()
        self._thread.join()

    def _run(self) -> None:
        while not self._stop.wait(self._every_s):
            try:
                if watched := self._live.watched():
                    self._live.wake_late(self._versions(watched))
            except SQLAlchemyError as error:
                LOG.warning("looking for changes of cases waits: %s", type(error).__name__)


class Listener:
    """Passes on what other nodes on the same PostgreSQL database tell, in a thread of its own."""

    def __init__(self, address: str, live: Live) -> None:
        self._address, self._live = address, live
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, name="case-listener", daemon=True)
        self._thread.start()

    def close(self) -> None:
        """End the thread."""
        self._stop.set()
        self._thread.join()

    def _run(self) -> None:
        while not self._stop.is_set():
            try:
                self._listen()
            except psycopg.Error as error:
                LOG.warning("live events of other nodes are away: %s", type(error).__name__)
                self._stop.wait(LISTEN_AGAIN_AFTER_S)

    def _listen(self) -> None:
        patience: dict[str, Any] = {"connect_timeout": CONNECT_WITHIN_S, **KEEP_ALIVE}
        with psycopg.connect(self._address, autocommit=True, **patience) as connection:
            connection.execute("LISTEN ventsleuth_case")
            self._live.wake_all()  # whatever happened while nobody listened
            while not self._stop.is_set():
                for told in connection.notifies(timeout=0.5):
                    self._pass_on(*told.payload.partition(" "))

    def _pass_on(self, name: str, _: str, version: str) -> None:
        if version.isdecimal():
            self._live.wake_late({name: int(version)})
        else:
            self._live.changed(name)
