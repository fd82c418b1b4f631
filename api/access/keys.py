"""Keep API keys: what each may do, and until when."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Any

from sqlalchemy import Select, bindparam, insert, select, update

from api.access.errors import UnknownKey
from api.access.tokens import is_digest, make_key, read_key
from api.storage.clock import later, now_text
from api.storage.database import Database
from api.storage.tables import API_KEYS


@dataclass(frozen=True, slots=True)
class Key:
    """A key as it is kept; the secret itself is not."""

    id: str
    org: str
    name: str
    scopes: frozenset[str]
    created_at: str
    created_by: str
    expires_at: str
    revoked_at: str | None


class Keys:
    """The API keys of all organisations."""

    def __init__(self, database: Database) -> None:
        self.database = database

    def add(self, org: str, name: str, scopes: Iterable[str], days: int, by: str) -> tuple[Key, str]:
        """Return a new key, and what is shown of it this once."""
        made = make_key()
        row = {
            "id": made.id,
            "org": org,
            "name": name,
            "digest": made.digest,
            "scopes": json.dumps(sorted(scopes)),
            "created_at": now_text(),
            "created_by": by,
            "expires_at": later(days=days),
            "revoked_at": None,
        }
        with self.database.writing() as connection:
            connection.execute(insert(API_KEYS).values(**row))
            found = connection.execute(select(API_KEYS).where(API_KEYS.c.id == made.id)).one()
        return _key(found), made.shown

    def all(self, org: str) -> list[Key]:
        """Return the keys of an organisation, oldest first."""
        found = select(API_KEYS).where(API_KEYS.c.org == org).order_by(API_KEYS.c.created_at, API_KEYS.c.id)
        with self.database.reading() as connection:
            return [_key(row) for row in connection.execute(found)]

    def revoke(self, org: str, key_id: str) -> None:
        """End a key now; raise UnknownKey."""
        mine = (API_KEYS.c.id == key_id) & (API_KEYS.c.org == org) & API_KEYS.c.revoked_at.is_(None)
        with self.database.writing() as connection:
            if not connection.execute(update(API_KEYS).where(mine).values(revoked_at=now_text())).rowcount:
                raise UnknownKey(key_id)

    def find(self, shown: str) -> Key | None:
        """Return the key that was shown, or None when it is none, over or revoked."""
        read = read_key(shown)
        if read is None:
            return None
        with self.database.reading() as connection:
            row = connection.execute(_of_id(), {"its_id": read[0]}).first()
        if row is None or not is_digest(row.digest, read[1]):
            return None
        return _key(row) if row.revoked_at is None and row.expires_at > now_text() else None


@cache
def _of_id() -> Select[Any]:
    """Return the statement, put together once, because every request asks it."""
    return select(API_KEYS).where(API_KEYS.c.id == bindparam("its_id"))


def _key(row: Any) -> Key:
    values = {name: getattr(row, name) for name in Key.__slots__}
    return Key(**{**values, "scopes": frozenset(json.loads(row.scopes))})
