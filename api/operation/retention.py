"""Let go of what was kept long enough, and of what is known about a person."""

from __future__ import annotations

import logging
import threading
from dataclasses import dataclass

from sqlalchemy import Connection, delete, select
from sqlalchemy.exc import SQLAlchemyError

from api.cases.done import forget_old
from api.storage.clock import later, now_text
from api.storage.database import Database
from api.storage.tables import CASES, DELIVERIES, HEARD, ORGANISATIONS, PEOPLE, SESSIONS, SIGN_IN_LINKS, WEBHOOKS

LOG = logging.getLogger(__name__)
EVERY_S = 3600.0
DELIVERIES_KEPT_DAYS = 30


@dataclass(frozen=True, slots=True)
class Forgotten:
    """How much was let go of."""

    cases: int
    texts: int
    requests: int


def forget(database: Database) -> Forgotten:
    """Remove closed cases and typed texts past each organisation's days, and what nobody needs any more."""
    cases = texts = 0
    with database.writing() as connection:
        kept = select(ORGANISATIONS.c.id, ORGANISATIONS.c.retention_days).where(
            ORGANISATIONS.c.retention_days.is_not(None)
        )
        for org, days in connection.execute(kept).all():
            some_cases, some_texts = _forget_of(connection, org, later(days=-days))
            cases, texts = cases + some_cases, texts + some_texts
        requests = forget_old(connection)
        connection.execute(delete(SESSIONS).where(SESSIONS.c.expires_at < now_text()))
        connection.execute(delete(SIGN_IN_LINKS).where(SIGN_IN_LINKS.c.expires_at < now_text()))
        old = later(days=-DELIVERIES_KEPT_DAYS)
        connection.execute(delete(DELIVERIES).where(DELIVERIES.c.next_at.is_(None), DELIVERIES.c.created_at < old))
    return Forgotten(cases, texts, requests)


def erase_person(database: Database, org: str, person_id: str) -> bool:
    """Remove a person with their name, sign-in and sessions; what they did stays under a number that says nobody.

    Returns whether there was one.
    """
    mine = (PEOPLE.c.id == person_id) & (PEOPLE.c.org == org)
    with database.writing() as connection:
        return connection.execute(delete(PEOPLE).where(mine)).rowcount > 0


def erase_organisation(database: Database, org: str) -> bool:
    """Remove an organisation with all it has; return whether there was one."""
    with database.writing() as connection:
        connection.execute(delete(WEBHOOKS).where(WEBHOOKS.c.org == org))
        return connection.execute(delete(ORGANISATIONS).where(ORGANISATIONS.c.id == org)).rowcount > 0


def _forget_of(connection: Connection, org: str, before: str) -> tuple[int, int]:
    closed = (CASES.c.org == org) & (CASES.c.closed_at < before)
    said = (HEARD.c.org == org) & (HEARD.c.heard_at < before)
    return (
        connection.execute(delete(CASES).where(closed)).rowcount,
        connection.execute(delete(HEARD).where(said)).rowcount,
    )


class Housekeeping:
    """Forgets every hour, in a thread of its own; several nodes may do so at once."""

    def __init__(self, database: Database, every_s: float = EVERY_S) -> None:
        self._database, self._every_s = database, every_s
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
                forget(self._database)
            except SQLAlchemyError as error:
                LOG.warning("housekeeping waits: %s", type(error).__name__)
