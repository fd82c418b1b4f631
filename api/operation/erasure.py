"""Remove for good what is known about a person, a case or an organisation, wherever it was kept."""

from __future__ import annotations

import re
import zlib
from collections.abc import Collection

from sqlalchemy import Connection, delete, select

from api.cases.ids import FORM
from api.cases.record import Records
from api.storage.database import Database
from api.storage.tables import AUDIT, DONE_REQUESTS, HEARD, ORGANISATIONS, PEOPLE, WEBHOOKS

IDS = re.compile(rb"\b" + FORM.strip("^$").encode() + rb"\b")
ROWS_AT_ONCE = 200
TEXTS_AT_ONCE = 500

Keys = Collection[tuple[str, str]]
"""Who sent a request, and its idempotency key."""


def erase_person(database: Database, org: str, person_id: str) -> bool:
    """Remove a person with their name, sign-in and sessions; what they did stays under a number that says nobody.

    Returns whether there was one.
    """
    mine = (PEOPLE.c.id == person_id) & (PEOPLE.c.org == org)
    with database.writing() as connection:
        return connection.execute(delete(PEOPLE).where(mine)).rowcount > 0


def erase_whole_case(records: Records, org: str, case_id: str) -> None:
    """Remove a case with its events and files, the texts that were typed for it and the answers that tell of it.

    Raises UnknownCase.
    """
    _, events = records.read(org, case_id)
    texts = sorted({str(it.data["text"]) for it in events if it.data.get("text")})
    keys = answers_about(records.database, org, {case_id})
    with records.database.writing() as connection:
        for start in range(0, len(texts), TEXTS_AT_ONCE):
            said = HEARD.c.text.in_(texts[start : start + TEXTS_AT_ONCE])
            connection.execute(delete(HEARD).where(HEARD.c.org == org, said))
        forget_answers(connection, org, keys)
    records.delete(org, case_id)


def erase_organisation(database: Database, org: str) -> bool:
    """Remove an organisation with all it has, its log included; return whether there was one."""
    with database.writing() as connection:
        for table in (WEBHOOKS, DONE_REQUESTS, AUDIT):
            connection.execute(delete(table).where(table.c.org == org))
        return connection.execute(delete(ORGANISATIONS).where(ORGANISATIONS.c.id == org)).rowcount > 0


def answers_about(database: Database, org: str, cases: Collection[str]) -> Keys:
    """Return the requests whose kept answers tell of any of these cases."""
    wanted = {it.encode() for it in cases}
    columns = (DONE_REQUESTS.c.who, DONE_REQUESTS.c.key, DONE_REQUESTS.c.answer)
    kept = select(*columns).where(DONE_REQUESTS.c.org == org).execution_options(yield_per=ROWS_AT_ONCE)
    with database.reading() as connection:
        found = connection.execute(kept)
        return [(row.who, row.key) for row in found if not wanted.isdisjoint(IDS.findall(zlib.decompress(row.answer)))]


def forget_answers(connection: Connection, org: str, keys: Keys) -> None:
    """Remove kept answers; a retry of such a request is then a new one, and finds no case."""
    columns = DONE_REQUESTS.c
    for who, key in keys:
        it = (columns.org == org) & (columns.who == who) & (columns.key == key)
        connection.execute(delete(DONE_REQUESTS).where(it))
