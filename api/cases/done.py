"""Requests that were done before: a retry with the same key gets the same answer and does nothing again."""

from __future__ import annotations

import hashlib
import re
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from sqlalchemy import Connection, Insert, Select, bindparam, delete, insert, select
from sqlalchemy.exc import IntegrityError

from api.cases.errors import BadKey, KeyReused
from api.storage.clock import later, now_text
from api.storage.database import Database
from api.storage.tables import DONE_REQUESTS
from api.who import Who

KEPT_DAYS = 7
KEY = re.compile(r'"?([A-Za-z0-9_.:-]{8,200})"?')


@dataclass(frozen=True, slots=True)
class Request:
    """One request with its key: who sent it, and a fingerprint of what was asked."""

    who: Who
    key: str
    fingerprint: str


@dataclass(frozen=True, slots=True)
class Answer:
    """What was answered."""

    status: int
    body: bytes


def keyed_request(who: Who, key: str | None, *asked: bytes) -> Request | None:
    """Return the request, or None when it has no key; raise BadKey."""
    if key is None:
        return None
    found = KEY.fullmatch(key.strip())
    if not found:
        raise BadKey
    fingerprint = hashlib.sha256(b"\x00".join(asked)).hexdigest()
    return Request(who, found[1], fingerprint)


def done_before(database: Database, request: Request | None) -> Answer | None:
    """Return the answer that the request got before, or None; raise KeyReused when the key came with another."""
    if request is None:
        return None
    with database.reading() as connection:
        return find_done(connection, request)


def find_done(connection: Connection, request: Request | None) -> Answer | None:
    """Return what done_before does, over a connection that is there."""
    if request is None:
        return None
    which = {"its_org": request.who.org, "its_who": request.who.id, "its_key": request.key}
    row = connection.execute(_found(), which).first()
    if row is None:
        return None
    if row.fingerprint != request.fingerprint:
        raise KeyReused
    return Answer(row.status, zlib.decompress(row.answer))


def keep_answer(connection: Connection, request: Request | None, answer: Answer) -> None:
    """Keep the answer to a request in the transaction that does it; raise DoneMeanwhile when it was just done."""
    if request is None:
        return
    values: Mapping[str, object] = {
        "org": request.who.org,
        "who": request.who.id,
        "key": request.key,
        "fingerprint": request.fingerprint,
        "at": now_text(),
        "status": answer.status,
        "answer": zlib.compress(answer.body, level=1),
    }
    try:
        connection.execute(_kept(), values)
    except IntegrityError:
        raise DoneMeanwhile from None


def forget_old(connection: Connection) -> int:
    """Remove the answers that are past keeping; return how many."""
    return connection.execute(delete(DONE_REQUESTS).where(DONE_REQUESTS.c.at < later(days=-KEPT_DAYS))).rowcount


class DoneMeanwhile(Exception):
    """The same request was done by another thread or node in the meantime; its answer is kept."""


@cache
def _found() -> Select[Any]:
    """Return the statement, put together once, because that takes longer than running it."""
    columns = DONE_REQUESTS.c
    mine = columns.org == bindparam("its_org"), columns.who == bindparam("its_who"), columns.key == bindparam("its_key")
    return select(DONE_REQUESTS).where(*mine)


@cache
def _kept() -> Insert:
    return insert(DONE_REQUESTS)
