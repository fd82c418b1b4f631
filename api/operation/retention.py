"""Let go of what was kept long enough."""

from __future__ import annotations

import logging
import threading
import time
from dataclasses import dataclass

from sqlalchemy import delete, select
from sqlalchemy.exc import SQLAlchemyError

from api.cases.done import forget_old
from api.operation.erasure import answers_about, forget_answers
from api.operation.readiness import check_clock
from api.storage.clock import later, now_text
from api.storage.database import Database
from api.storage.tables import (
    CASES,
    CLASSES,
    DELIVERIES,
    HEARD,
    LEARNERS,
    ORGANISATIONS,
    PRACTICES,
    SESSIONS,
    SIGN_IN_LINKS,
)

LOG = logging.getLogger(__name__)
EVERY_S = 3600.0
MOST_SHIFT_S = 900.0
STEADY_AFTER_S = 86_400.0
DELIVERIES_KEPT_DAYS = 30


@dataclass(frozen=True, slots=True)
class Forgotten:
    """How much was let go of; `training` counts classes, practice call-outs and learners' cards."""

    cases: int
    texts: int
    training: int
    requests: int


def forget(database: Database) -> Forgotten:
    """Remove closed cases, typed texts and training past each organisation's days, and what nobody needs any more."""
    gone = [_forget_of(database, org, later(days=-days)) for org, days in _kept_for(database)]
    with database.writing() as connection:
        requests = forget_old(connection)
        connection.execute(delete(SESSIONS).where(SESSIONS.c.expires_at < now_text()))
        connection.execute(delete(SIGN_IN_LINKS).where(SIGN_IN_LINKS.c.expires_at < now_text()))
        old = later(days=-DELIVERIES_KEPT_DAYS)
        connection.execute(delete(DELIVERIES).where(DELIVERIES.c.next_at.is_(None), DELIVERIES.c.created_at < old))
    cases, texts, training = (sum(it) for it in zip((0, 0, 0), *gone, strict=True))
    return Forgotten(cases, texts, training, requests)


def _kept_for(database: Database) -> list[tuple[str, int]]:
    """Return the organisations that do not keep things for ever, and for how many days."""
    columns = ORGANISATIONS.c
    with database.reading() as connection:
        found = connection.execute(
            select(columns.id, columns.retention_days).where(columns.retention_days.is_not(None))
        )
        return [(row.id, row.retention_days) for row in found]


def _forget_of(database: Database, org: str, before: str) -> tuple[int, int, int]:
    """Remove what an organisation has from before a time; return how many cases, texts and things of training."""
    closed = (CASES.c.org == org) & (CASES.c.closed_at < before)
    with database.reading() as connection:
        old = list(connection.execute(select(CASES.c.id).where(closed)).scalars())
    keys = answers_about(database, org, old) if old else ()
    with database.writing() as connection:
        forget_answers(connection, org, keys)
        cases = connection.execute(delete(CASES).where(closed)).rowcount
        texts = connection.execute(delete(HEARD).where(HEARD.c.org == org, HEARD.c.heard_at < before)).rowcount
        past = ((CLASSES, CLASSES.c.ends_at), (PRACTICES, PRACTICES.c.began_at), (LEARNERS, LEARNERS.c.seen_at))
        training = [connection.execute(delete(it).where(it.c.org == org, at < before)).rowcount for it, at in past]
    return cases, texts, sum(training)


class SteadyClock:
    """Tells whether the clock can be trusted to remove things by: it ran as steadily as time itself for a while."""

    def __init__(self) -> None:
        self._apart_s = time.time() - time.monotonic()
        self._moved_at: float | None = None

    def is_steady(self) -> bool:
        """Say so; a clock that was moved is not for a day, and what it says then counts."""
        apart_s, now_s = time.time() - time.monotonic(), time.monotonic()
        if abs(apart_s - self._apart_s) > MOST_SHIFT_S:
            self._apart_s, self._moved_at = apart_s, now_s
        return self._moved_at is None or now_s - self._moved_at > STEADY_AFTER_S


class Housekeeping:
    """Forgets every hour, in a thread of its own; several nodes may do so at once.

    Nothing is removed while the clock is wrong or was just moved: a wrong year would remove all there is.
    """

    def __init__(self, database: Database, every_s: float = EVERY_S, clock: SteadyClock | None = None) -> None:
        self._database, self._every_s, self._clock = database, every_s, clock or SteadyClock()
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, name="housekeeping", daemon=True)
        self._thread.start()

    def close(self) -> None:
        """End the thread."""
        self._stop.set()
        self._thread.join()

    def _run(self) -> None:
        while not self._stop.wait(self._every_s):
            try:
                self._forget()
            except SQLAlchemyError as error:
                LOG.warning("housekeeping waits: %s", type(error).__name__)

    def _forget(self) -> None:
        if not self._clock.is_steady() or not check_clock(self._database).is_well:
            LOG.warning("housekeeping waits: the clock was moved or is wrong, so nothing is removed by it")
            return
        forget(self._database)
