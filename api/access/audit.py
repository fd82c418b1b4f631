"""The log of what was done about people, keys, sites and kept data: who, when, what, to what."""

from __future__ import annotations

from typing import Any

from sqlalchemy import func, insert, select

from api.storage.clock import later, now_text
from api.storage.database import Database
from api.storage.tables import AUDIT
from api.who import Who


class Audit:
    """Writes and reads the log; nothing in it is ever changed."""

    def __init__(self, database: Database) -> None:
        self.database = database

    def note(self, who: Who, action: str, target: str, detail: str = "") -> None:
        """Write one line for whoever did something."""
        self.note_as(who.org, who.id, action, target, detail)

    def note_as(self, org: str, who: str, action: str, target: str, detail: str = "") -> None:
        """Write one line under a name."""
        row = {"org": org, "at": now_text(), "who": who, "action": action, "target": target[:120], "detail": detail}
        with self.database.writing() as connection:
            connection.execute(insert(AUDIT).values(**row))

    def count_lately(self, org: str, action: str, target: str, seconds: float, most: int) -> int:
        """Return how often something was noted in the last seconds, on whichever node; so many lines are looked at."""
        columns = AUDIT.c
        theirs = select(columns.at, columns.action, columns.target).where(columns.org == org)
        last = theirs.order_by(columns.id.desc()).limit(most).subquery()
        lately = last.c.at.between(later(seconds=-seconds), later(seconds=seconds))  # not what a wrong clock put off
        found = select(func.count()).where(last.c.action == action, last.c.target == target, lately)
        with self.database.reading() as connection:
            return connection.execute(found).scalar_one()

    def lines(self, org: str, before: int | None, most: int) -> list[Any]:
        """Return lines, newest first, those before a number where one is given."""
        found = select(AUDIT).where(AUDIT.c.org == org).order_by(AUDIT.c.id.desc()).limit(most)
        found = found if before is None else found.where(AUDIT.c.id < before)
        with self.database.reading() as connection:
            return list(connection.execute(found))
