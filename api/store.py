"""Keep site descriptions and typed texts in a database."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Boolean, Column, Engine, Integer, MetaData, String, Table, Text, create_engine, event, select
from sqlalchemy.dialects.sqlite import insert

METADATA = MetaData()
SITES = Table(
    "sites",
    METADATA,
    Column("id", String(80), primary_key=True),
    Column("name", Text, nullable=False),
    Column("description", Text, nullable=False),
    Column("demo", Boolean, nullable=False),
    Column("version", Integer, nullable=False),
)
HEARD = Table(
    "heard",
    METADATA,
    Column("id", Integer, primary_key=True, autoincrement=True),
    Column("heard_at", String(40), nullable=False),
    Column("site", String(80)),
    Column("text", Text, nullable=False),
)


@dataclass(frozen=True, slots=True)
class StoredSite:
    """A site as it was stored; the version counts its changes from 1."""

    id: str
    name: str
    description: Mapping[str, Any]
    demo: bool
    version: int


class Store:
    """Sites and heard texts in one database; safe to use from several threads."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        METADATA.create_all(engine)

    def sites(self) -> list[StoredSite]:
        """Return all sites in order of id."""
        with self._engine.connect() as connection:
            return [_stored(row) for row in connection.execute(select(SITES).order_by(SITES.c.id))]

    def site(self, site_id: str) -> StoredSite | None:
        """Return one site, or None."""
        with self._engine.connect() as connection:
            row = connection.execute(select(SITES).where(SITES.c.id == site_id)).first()
        return _stored(row) if row else None

    def put_site(self, site_id: str, name: str, description: Mapping[str, Any], demo: bool = False) -> bool:
        """Store a description under an id, over what was there; return whether it is new."""
        text = json.dumps(description, ensure_ascii=False, sort_keys=True)
        values = {"id": site_id, "name": name, "description": text, "demo": demo, "version": 1}
        changed = {"name": name, "description": text, "demo": demo, "version": SITES.c.version + 1}
        statement = insert(SITES).values(values).on_conflict_do_update(index_elements=["id"], set_=changed)
        with self._engine.begin() as connection:
            is_new = connection.execute(select(SITES.c.id).where(SITES.c.id == site_id)).first() is None
            connection.execute(statement)
        return is_new

    def hear(self, text: str, site: str | None) -> None:
        """Keep what somebody typed, before anything is made of it."""
        heard_at = datetime.now(UTC).isoformat(timespec="seconds")
        with self._engine.begin() as connection:
            connection.execute(HEARD.insert().values(heard_at=heard_at, site=site, text=text))

    def heard(self) -> list[str]:
        """Return the typed texts, oldest first."""
        with self._engine.connect() as connection:
            return list(connection.execute(select(HEARD.c.text).order_by(HEARD.c.id)).scalars())

    def close(self) -> None:
        """Let go of the database."""
        self._engine.dispose()


def open_store(path: Path) -> Store:
    """Return the store in an SQLite file, made with its folder when it is not there."""
    path.parent.mkdir(parents=True, exist_ok=True)
    engine = create_engine(f"sqlite:///{path}")
    event.listen(engine, "connect", _set_up)
    return Store(engine)


def _set_up(connection: Any, _: Any) -> None:
    # A rollback journal written through: a power cut loses nothing that was answered, and no WAL race is possible.
    for setting in ("journal_mode = TRUNCATE", "synchronous = FULL", "foreign_keys = ON", "busy_timeout = 5000"):
        connection.execute(f"PRAGMA {setting}")


def _stored(row: Any) -> StoredSite:
    return StoredSite(row.id, row.name, json.loads(row.description), row.demo, row.version)
