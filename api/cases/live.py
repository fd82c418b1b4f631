"""Tell whoever watches a case that it changed: within this process, and from other nodes through the database."""

from __future__ import annotations

import asyncio
import logging
import threading
from collections import defaultdict
from collections.abc import Iterator
from contextlib import contextmanager

import psycopg

from api.storage.database import CONNECT_WITHIN_S, Database

LOG = logging.getLogger(__name__)
LISTEN_AGAIN_AFTER_S = 1.0


class Live:
    """Wakes those who wait for changes of a case; safe to call from any thread."""

    def __init__(self) -> None:
        self._waiting: dict[str, set[tuple[asyncio.AbstractEventLoop, asyncio.Event]]] = defaultdict(set)
        self._lock = threading.Lock()
        self.is_closing = False

    def changed(self, case_id: str) -> None:
        """Wake all who wait for this case."""
        with self._lock:
            woken = list(self._waiting.get(case_id, ()))
        for loop, event in woken:
            loop.call_soon_threadsafe(event.set)

    def wake_all(self) -> None:
        """Wake everybody, when it is not known what was missed."""
        with self._lock:
            cases = list(self._waiting)
        for case_id in cases:
            self.changed(case_id)

    def close(self) -> None:
        """Let all streams end, so that the service can stop."""
        self.is_closing = True
        self.wake_all()

    def watch(self, case_id: str) -> Watch:
        """Return a watch over a case, to be used as a context."""
        return Watch(self, case_id)

    def _add(self, case_id: str, one: tuple[asyncio.AbstractEventLoop, asyncio.Event]) -> None:
        with self._lock:
            self._waiting[case_id].add(one)

    def _remove(self, case_id: str, one: tuple[asyncio.AbstractEventLoop, asyncio.Event]) -> None:
        with self._lock:
            self._waiting[case_id].discard(one)
            if not self._waiting[case_id]:
                del self._waiting[case_id]


class Watch:
    """Waits for changes of one case in the running event loop."""

    def __init__(self, live: Live, case_id: str) -> None:
        self._live, self._case_id = live, case_id
        self._one = (asyncio.get_running_loop(), asyncio.Event())

    def __enter__(self) -> Watch:
        self._live._add(self._case_id, self._one)
        return self

    def __exit__(self, *_: object) -> None:
        self._live._remove(self._case_id, self._one)

    def clear(self) -> None:
        """Forget what was told so far; call it before looking, so that nothing between is missed."""
        self._one[1].clear()

    async def wait(self, most_s: float) -> None:
        """Return when the case changed or the time is over."""
        try:
            await asyncio.wait_for(self._one[1].wait(), most_s)
        except TimeoutError:
            return


@contextmanager
def live_events(database: Database, live: Live) -> Iterator[None]:
    """Listen, within this context, to other nodes where the database can pass on what they tell."""
    listener = Listener(database.address, live) if database.address else None
    try:
        yield
    finally:
        live.close()
        if listener:
            listener.close()


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
        with psycopg.connect(self._address, autocommit=True, connect_timeout=CONNECT_WITHIN_S) as connection:
            connection.execute("LISTEN ventsleuth_case")
            self._live.wake_all()  # whatever happened while nobody listened
            while not self._stop.is_set():
                for told in connection.notifies(timeout=0.5):
                    self._live.changed(told.payload)
