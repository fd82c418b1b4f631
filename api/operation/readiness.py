"""Say whether the service can do its work: database, tables, engine, knowledge, disk, clock."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from sqlalchemy import func, select, text
from sqlalchemy.exc import SQLAlchemyError

from api.storage.database import Database
from api.storage.migrate import latest_revision, revision_of
from api.storage.tables import CASE_EVENTS
from diag.desk import Desk
from diag.diagnose import answer
from diag.engine_errors import EngineError
from diag.observations import Case, Observed
from diag.reasoning import open_case
from diag.site import Site

LEAST_FREE_BYTES = 200_000_000
MOST_CLOCK_SKEW = timedelta(minutes=2)
EARLIEST = datetime(2026, 1, 1, tzinfo=UTC)
"""No clock that is right shows a time before this release was made."""


@dataclass(frozen=True, slots=True)
class Found:
    """One thing that was looked at, whether it is as it has to be, and what to do where it is not."""

    what: str
    is_well: bool
    says: str


def check_database(database: Database) -> Found:
    """Say whether the database answers and its tables are those of this release."""
    try:
        with database.reading() as connection:
            revision = revision_of(connection)
    except SQLAlchemyError as error:
        reason = str(getattr(error, "orig", error)).splitlines()[0]
        return Found("database", False, f"It does not answer: {reason}. Next: see that it runs and can be reached.")
    if revision != latest_revision():
        return Found(
            "database", False, f"Its tables are at {revision}, not {latest_revision()}. Next: start the service once."
        )
    return Found("database", True, f"It answers; its tables are at {revision}.")


def check_engine(desk: Desk) -> Found:
    """Say whether the rule engine reasons about a site nobody described."""
    symptom = next(iter(sorted(desk.reasoner.knowledge.symptoms)))
    case = Case(symptoms=(Observed(symptom),), at=datetime(2026, 5, 4, 12))
    try:
        prepared = desk.prepared(Site(name="a trial"), case.at.date() if case.at else None)
        causes = answer(desk.reasoner, open_case(desk.reasoner, prepared, case), ()).causes
    except EngineError as error:
        return Found("engine", False, f"It does not reason: {error}. Next: python3 -m api.start sets it up again.")
    return Found("engine", bool(causes), f"It reasons: {len(causes)} causes of {symptom}.")


def check_knowledge(desk: Desk) -> Found:
    """Say which knowledge is loaded."""
    knowledge = desk.reasoner.knowledge
    return Found("knowledge", bool(knowledge.causes), f"Version {knowledge.version}, {len(knowledge.causes)} causes.")


def check_disk(path: Path | None, least_free_bytes: int = LEAST_FREE_BYTES) -> Found:
    """Say whether there is room for the database to grow."""
    if path is None:
        return Found("disk", True, "The database lies on another machine; look there.")
    free = shutil.disk_usage(path.parent).free
    says = f"{free / 1e9:.1f} GB free."
    if free < least_free_bytes:
        return Found("disk", False, f"{says} Next: make room, or move the folder of the database.")
    return Found("disk", True, says)


def check_clock(database: Database) -> Found:
    """Say whether the clock agrees with the database's own, and has not been set back."""
    now = datetime.now(UTC)
    if now < EARLIEST:
        return Found("clock", False, f"It shows {now:%Y-%m-%d}. Next: set the clock, best by a time server.")
    try:
        with database.reading() as connection:
            last = connection.execute(select(func.max(CASE_EVENTS.c.at))).scalar()
            theirs = None if database.is_sqlite else connection.execute(text("SELECT now()")).scalar()
    except SQLAlchemyError:
        return Found("clock", True, f"It shows {now:%Y-%m-%d %H:%M} UTC.")
    if theirs is not None and abs(theirs - now) > MOST_CLOCK_SKEW:
        return Found("clock", False, "It differs from the database's by minutes. Next: set both by a time server.")
    if last and datetime.fromisoformat(last) - now > MOST_CLOCK_SKEW:
        return Found("clock", False, f"Events are kept from {last[:16]}, which is to come. Next: set the clock.")
    return Found("clock", True, f"It shows {now:%Y-%m-%d %H:%M} UTC.")


def check_file(path: Path | None) -> Found:
    """Say whether the SQLite file is whole."""
    if path is None:
        return Found("file", True, "PostgreSQL keeps its own.")
    try:
        with sqlite3.connect(path) as connection:
            found = connection.execute("PRAGMA quick_check").fetchone()[0]
        connection.close()
    except sqlite3.DatabaseError as error:
        found = str(error)
    if found != "ok":
        return Found("file", False, f"{found}. Next: ventsleuth data restore with the last backup.")
    return Found("file", True, f"{path} is whole, {path.stat().st_size / 1e6:.1f} MB.")


def ready(database: Database, desk: Desk) -> Iterator[Found]:
    """Yield what a load balancer wants to know, quickly."""
    checks: tuple[Callable[[], Found], ...] = (
        lambda: check_database(database),
        lambda: check_engine(desk),
        lambda: check_knowledge(desk),
        lambda: check_disk(database.path),
    )
    for check in checks:
        yield check()
