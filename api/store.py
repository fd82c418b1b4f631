"""Keep site descriptions with their versions, and typed texts."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, delete, insert, select, update

from api.storage.clock import now_text
from api.storage.database import Database, open_database
from api.storage.migrate import upgrade
from api.storage.tables import HEARD, LOCAL, SITE_VERSIONS, SITES

SITES_AT_ONCE = 500


@dataclass(frozen=True, slots=True)
class StoredSite:
    """A site as it was stored; the version counts its changes from 1."""

    id: str
    name: str
    description: Mapping[str, Any]
    demo: bool
    version: int


@dataclass(frozen=True, slots=True)
class SiteHeading:
    """What a list says of a site."""

    id: str
    name: str
    demo: bool


@dataclass(frozen=True, slots=True)
class SiteVersion:
    """One version of a site: when it was stored and by whom."""

    version: int
    name: str
    description: Mapping[str, Any]
    stored_at: str
    stored_by: str


class Store:
    """The sites and heard texts of one organisation; safe to use from several threads."""

    def __init__(self, database: Database, org: str = LOCAL) -> None:
        self.database = database
        self.org = org

    def of(self, org: str) -> Store:
        """Return the same store for another organisation."""
        return Store(self.database, org)

    def sites(self) -> list[StoredSite]:
        """Return all sites in order of id."""
        found = select(SITES).where(SITES.c.org == self.org).order_by(SITES.c.id)
        with self.database.reading() as connection:
            return [_stored(row) for row in connection.execute(found)]

    def each_site(self) -> Iterator[StoredSite]:
        """Yield all sites in order of id, some at a time, so that any number of them fits in memory."""
        some = self.sites_after(None, SITES_AT_ONCE)
        while some:
            yield from some
            some = self.sites_after(some[-1].id, SITES_AT_ONCE)

    def each_description(self) -> Iterator[tuple[str, str]]:
        """Yield id and description, as JSON text, of all sites in order of id; any number of them fits in memory."""
        wanted = select(SITES.c.id, SITES.c.description).where(SITES.c.org == self.org).order_by(SITES.c.id)
        after = ""
        while True:
            with self.database.reading() as connection:
                some = connection.execute(wanted.where(SITES.c.id > after).limit(SITES_AT_ONCE)).all()
            if not some:
                return
            yield from ((row.id, row.description) for row in some)
            after = some[-1].id

    def sites_after(self, site_id: str | None, most: int) -> list[StoredSite]:
        """Return the sites that follow an id in order, or the first ones, so many at most."""
        found = select(SITES).where(SITES.c.org == self.org).order_by(SITES.c.id).limit(most)
        found = found if site_id is None else found.where(SITES.c.id > site_id)
        with self.database.reading() as connection:
            return [_stored(row) for row in connection.execute(found)]

    def headings(self) -> list[SiteHeading]:
        """Return id and name of all sites in order of id, without their descriptions."""
        found = select(SITES.c.id, SITES.c.name, SITES.c.demo).where(SITES.c.org == self.org).order_by(SITES.c.id)
        with self.database.reading() as connection:
            return [SiteHeading(*row) for row in connection.execute(found)]

    def site(self, site_id: str) -> StoredSite | None:
        """Return one site, or None."""
        with self.database.reading() as connection:
            row = connection.execute(select(SITES).where(_is(self.org, site_id))).first()
        return _stored(row) if row else None

    def put_site(
        self,
        site_id: str,
        name: str,
        description: Mapping[str, Any],
        demo: bool = False,
        by: str = LOCAL,
        expected: int | None = None,
    ) -> bool:
        """Store a description under an id as its next version; return whether it is new.

        Raises StaleVersion when `expected` is given and is not the version that is there.
        """
        text = json.dumps(description, ensure_ascii=False, sort_keys=True)
        values = {"name": name, "description": text, "demo": demo}
        with self.database.writing() as connection:
            version = _lock_version(connection, self.org, site_id)
            if expected is not None and expected != version:
                raise StaleVersion(version)
            _write(connection, self.org, site_id, {**values, "version": version + 1}, is_new=version == 0)
            kept = {"org": self.org, "site": site_id, "version": version + 1, "name": name, "description": text}
            connection.execute(insert(SITE_VERSIONS).values(**kept, stored_at=now_text(), stored_by=by))
        return version == 0

    def site_versions(self, site_id: str) -> list[SiteVersion]:
        """Return all versions of a site, oldest first."""
        mine = (SITE_VERSIONS.c.org == self.org) & (SITE_VERSIONS.c.site == site_id)
        found = select(SITE_VERSIONS).where(mine).order_by(SITE_VERSIONS.c.version)
        with self.database.reading() as connection:
            return [_version(row) for row in connection.execute(found)]

    def site_version(self, site_id: str, version: int) -> SiteVersion | None:
        """Return one version of a site, or None."""
        mine = (SITE_VERSIONS.c.org == self.org) & (SITE_VERSIONS.c.site == site_id)
        with self.database.reading() as connection:
            row = connection.execute(select(SITE_VERSIONS).where(mine, SITE_VERSIONS.c.version == version)).first()
        return _version(row) if row else None

    def delete_site(self, site_id: str) -> bool:
        """Remove a site with its versions; return whether it was there."""
        with self.database.writing() as connection:
            return connection.execute(delete(SITES).where(_is(self.org, site_id))).rowcount > 0

    def hear(self, text: str, site: str | None) -> None:
        """Keep what somebody typed, before anything is made of it."""
        kept = text.replace("\x00", "�")  # PostgreSQL takes no NUL
        with self.database.writing() as connection:
            connection.execute(insert(HEARD).values(org=self.org, heard_at=now_text(), site=site, text=kept))

    def heard(self, most: int | None = None) -> list[str]:
        """Return the typed texts, oldest first; only so many of the latest if a number is given."""
        found = select(HEARD.c.text).where(HEARD.c.org == self.org).order_by(HEARD.c.id.desc()).limit(most)
        with self.database.reading() as connection:
            return list(connection.execute(found).scalars())[::-1]

    def close(self) -> None:
        """Let go of the database."""
        self.database.close()


class StaleVersion(Exception):
    """Somebody else changed it meanwhile; `version` is the one that is there now."""

    def __init__(self, version: int) -> None:
        self.version = version
        super().__init__(f"It was changed meanwhile and is at version {version} now.")


def open_store(where: Path | str) -> Store:
    """Return the store at a path (SQLite, made with its folder when it is not there) or a PostgreSQL address.

    A database of an earlier release is brought up to date; raises BadDatabase.
    """
    database = open_database(where)
    try:
        upgrade(database)
    except BaseException:
        database.close()
        raise
    return Store(database)


def _is(org: str, site_id: str) -> Any:
    return (SITES.c.org == org) & (SITES.c.id == site_id)


def _lock_version(connection: Connection, org: str, site_id: str) -> int:
    """Return the version that is there, 0 for none; nobody else changes it until the end of the transaction."""
    found = connection.execute(select(SITES.c.version).where(_is(org, site_id)).with_for_update()).scalar()
    return found or 0


def _write(connection: Connection, org: str, site_id: str, values: Mapping[str, Any], is_new: bool) -> None:
    if is_new:
        connection.execute(insert(SITES).values(org=org, id=site_id, **values))
        return
    connection.execute(update(SITES).where(_is(org, site_id)).values(**values))


def _stored(row: Any) -> StoredSite:
    return StoredSite(row.id, row.name, json.loads(row.description), row.demo, row.version)


def _version(row: Any) -> SiteVersion:
    return SiteVersion(row.version, row.name, json.loads(row.description), row.stored_at, row.stored_by)
