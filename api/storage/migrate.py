"""Bring a database of any earlier release up to date."""

from __future__ import annotations

from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from alembic.util.exc import CommandError
from sqlalchemy import Connection, inspect, text

from api.storage.database import BadDatabase, Database

SCRIPTS = Path(__file__).parent / "migrations"
FIRST_RELEASE = "r0001"
LOCK_NUMBER = 7_309_114
"""Any number that nobody else locks on the same PostgreSQL database."""


def upgrade(database: Database) -> None:
    """Bring the tables to the present form, from none or from those of any release; raise BadDatabase when newer."""
    with database.alone() as engine, engine.begin() as connection:
        if not database.is_sqlite:
            connection.execute(text("SELECT pg_advisory_xact_lock(:number)"), {"number": LOCK_NUMBER})
        settings = _settings(connection)
        if revision_of(connection) is None and inspect(connection).has_table("heard"):
            command.stamp(settings, FIRST_RELEASE)
        try:
            command.upgrade(settings, "head")
        except CommandError:
            raise BadDatabase(
                f"The database was written by a newer release (revision {revision_of(connection)}). "
                "Next: install that release or a later one."
            ) from None


def revision_of(connection: Connection) -> str | None:
    """Return the revision of the tables, or None when there are none of ours or they are of the first release."""
    return MigrationContext.configure(connection).get_current_revision()


def latest_revision() -> str:
    """Return the revision that this release works with."""
    return str(ScriptDirectory(str(SCRIPTS)).get_current_head())


def _settings(connection: Connection) -> Config:
    settings = Config()
    settings.set_main_option("script_location", str(SCRIPTS).replace("%", "%%"))
    settings.attributes["connection"] = connection
    return settings
