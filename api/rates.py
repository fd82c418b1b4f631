"""The base rates that an organisation's closed cases taught, in versions that stay as they were."""

from __future__ import annotations

import logging
import time
from collections import Counter, OrderedDict
from dataclasses import replace
from threading import Lock

from sqlalchemy import Connection, Select, func, insert, select
from sqlalchemy.exc import SQLAlchemyError

from api.storage.clock import now_text
from api.storage.database import Database
from api.storage.tables import LEARNED, ORGANISATIONS
from diag.learning import Confirmed, Counted, with_learned_rates
from diag.reasoner import Reasoner
from diag.site import Site

LOG = logging.getLogger(__name__)
AWAY_FOR_S = 5.0
"""For so long nobody asks again for a version after the database was away."""

KEPT = 32
"""Reasoners kept ready, each of one organisation, version and kind of site."""

NOTHING_LEARNED = 0
"""The version before any case was closed: the base rates of the entries."""


class Rates:
    """What closed cases taught each organisation; safe to use from several threads."""

    def __init__(self, database: Database, given: Reasoner) -> None:
        self._database, self._given = database, given
        self._kept: OrderedDict[tuple[str, int, str | None], Reasoner] = OrderedDict()
        self._known: dict[str, int] = {}
        self._away_until = 0.0
        self._lock = Lock()

    def version(self, org: str) -> int:
        """Return the version of the rates that hold now."""
        return last_version(self._database, org)

    def counts(self, org: str, version: int) -> Counted:
        """Return how many closed cases counted for each cause at each kind of site in that version."""
        return counts_of(self._database, org, version)

    def reasoner(self, org: str, version: int, site: Site) -> Reasoner:
        """Return the reasoner with the rates of that version for a site."""
        if version == NOTHING_LEARNED:
            return self._given
        key = (org, version, site.kind)
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key]
        taught = replace(
            self._given, knowledge=with_learned_rates(self._given.knowledge, self.counts(org, version), site.kind)
        )
        with self._lock:
            self._kept[key] = taught
            while len(self._kept) > KEPT:
                self._kept.popitem(last=False)
        return taught

    def taught(self, org: str, site: Site) -> Reasoner:
        """Return the reasoner with the rates that hold now for a site; while the database is away, with those before.

        Whoever asks without a case needs no database, so this does without it too.
        """
        if time.monotonic() < self._away_until:
            return self._last_known(org, site)
        try:
            self._known[org] = self.version(org)
            return self.reasoner(org, self._known[org], site)
        except SQLAlchemyError as error:
            LOG.warning("learned rates are away: %s", type(error).__name__)
            self._away_until = time.monotonic() + AWAY_FOR_S
            return self._last_known(org, site)

    def _last_known(self, org: str, site: Site) -> Reasoner:
        """Return the reasoner with the rates known last if it is kept ready, else with those of the entries."""
        with self._lock:
            return self._kept.get((org, self._known.get(org, NOTHING_LEARNED), site.kind), self._given)

    def forget(self, org: str) -> int:
        """Begin anew with the rates of the entries and return the new version; older ones stay as they were."""
        return forget(self._database, org)


def last_version(database: Database, org: str) -> int:
    """Return the version of an organisation's rates that holds now."""
    with database.reading() as connection:
        return _last(connection, org)


def counts_of(database: Database, org: str, version: int) -> Counted:
    """Return how many closed cases counted for each cause at each kind of site in that version."""
    with database.reading() as connection:
        rows = connection.execute(_counted(org, version)).all()
    return Counter({Confirmed(it.cause, it.site_kind): it.cases for it in rows})


def forget(database: Database, org: str) -> int:
    """Begin anew with the rates of the entries and return the new version; older ones stay as they were."""
    with database.writing() as connection:
        return _append(connection, org)


def count_case(connection: Connection, org: str, case_id: str, cause: str | None, site_kind: str | None) -> None:
    """Let a case count for a cause from now on, or for none; nothing changes where it does so already."""
    found = select(LEARNED.c.cause, LEARNED.c.site_kind).where(LEARNED.c.org == org, LEARNED.c.case_id == case_id)
    before = connection.execute(found.order_by(LEARNED.c.version.desc()).limit(1)).first()
    if (before.cause if before else None) == cause and (cause is None or (before and before.site_kind == site_kind)):
        return
    _append(connection, org, case_id, cause, site_kind)


def _append(
    connection: Connection, org: str, case_id: str | None = None, cause: str | None = None, kind: str | None = None
) -> int:
    connection.execute(select(ORGANISATIONS.c.id).where(ORGANISATIONS.c.id == org).with_for_update())  # one at a time
    version = _last(connection, org) + 1
    row = {"org": org, "version": version, "case_id": case_id, "cause": cause, "site_kind": kind, "at": now_text()}
    connection.execute(insert(LEARNED).values(**row))
    return version


def _last(connection: Connection, org: str) -> int:
    found = select(func.max(LEARNED.c.version)).where(LEARNED.c.org == org)
    return connection.execute(found).scalar() or NOTHING_LEARNED


def _counted(org: str, version: int) -> Select[tuple[str, str, int]]:
    """Return the query of what each case said last up to a version, counted, since all began anew."""
    earlier = LEARNED.alias("earlier")
    upto = (earlier.c.org == org) & (earlier.c.version <= version)
    anew = (
        select(func.coalesce(func.max(earlier.c.version), 0)).where(upto, earlier.c.case_id.is_(None)).scalar_subquery()
    )
    last = select(func.max(earlier.c.version)).where(upto, earlier.c.case_id == LEARNED.c.case_id).scalar_subquery()
    mine = (LEARNED.c.org == org, LEARNED.c.version == last, LEARNED.c.version > anew, LEARNED.c.cause.is_not(None))
    counted = select(LEARNED.c.cause, LEARNED.c.site_kind, func.count().label("cases")).where(*mine)
    return counted.group_by(LEARNED.c.cause, LEARNED.c.site_kind)
