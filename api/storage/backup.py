"""Copy a database while it is in use, and put a copy back; a copy is an SQLite file whatever the database is."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

from sqlalchemy import Connection, Table, func, insert, select, text

from api.storage.database import BadDatabase, Database, open_database
from api.storage.migrate import upgrade
from api.storage.tables import METADATA, ORGANISATIONS

ROWS_AT_ONCE = 200


def back_up(database: Database, target: Path) -> None:
    """Write a copy of the database as it is now to a new file; raise BadDatabase when there is one already."""
    if target.exists():
        raise BadDatabase(f"{target} is there already. Name a new file for the backup.")
    unfinished = target.with_name(f"{target.name}.part")
    unfinished.unlink(missing_ok=True)
    if database.path:
        _copy_file(database.path, unfinished)
    else:
        _copy_rows_out(database, unfinished)
    unfinished.replace(target)


def restore(source: Path, target: Database) -> None:
    """Fill an empty database from a backup of this or an earlier release.

    Raises BadDatabase when the backup is damaged or the database holds anything.
    """
    check_file(source)
    upgrade(target)
    with target.reading() as connection:
        if not _is_empty(connection):
            raise BadDatabase("The database to restore into is not empty. Name a new one.")
    copy = source.with_name(f"{source.name}.restoring")
    copy.unlink(missing_ok=True)
    _copy_file(source, copy)
    try:
        _copy_rows_in(copy, target)
    finally:
        _remove(copy)


def check_file(path: Path) -> None:
    """Raise BadDatabase unless this is an SQLite database that is whole."""
    if not path.is_file():
        raise BadDatabase(f"There is no backup at {path}.")
    try:
        with closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as connection:
            found = connection.execute("PRAGMA integrity_check").fetchone()[0]
    except sqlite3.DatabaseError as error:
        found = str(error)
    if found != "ok":
        raise BadDatabase(f"The backup {path} is damaged: {found}. Use an earlier one.")


def _copy_file(source: Path, target: Path) -> None:
    # The database's own online copy: it sees one state even while others write.
    with closing(sqlite3.connect(source)) as here, closing(sqlite3.connect(target)) as there:
        here.backup(there)
        there.execute("PRAGMA journal_mode = DELETE")


def _copy_rows_out(database: Database, target: Path) -> None:
    copy = open_database(target)
    try:
        upgrade(copy)
        with database.reading() as connection:
            connection.execute(text("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY"))
            _copy_tables(connection, copy)
    finally:
        copy.close()
    with closing(sqlite3.connect(target)) as connection:
        connection.execute("PRAGMA journal_mode = DELETE")
    target.with_name(f"{target.name}-lock").unlink(missing_ok=True)


def _copy_rows_in(copy: Path, target: Database) -> None:
    source = open_database(copy)
    try:
        upgrade(source)
        with source.reading() as connection:
            _copy_tables(connection, target)
    finally:
        source.close()


def _copy_tables(source: Connection, target: Database) -> None:
    with target.writing() as connection:
        connection.execute(ORGANISATIONS.delete())
        for table in METADATA.sorted_tables:
            for rows in _rows(source, table):
                connection.execute(insert(table), rows)
        if not target.is_sqlite:
            _set_counters(connection)


def _rows(source: Connection, table: Table) -> Iterator[list[dict[str, object]]]:
    result = source.execution_options(yield_per=ROWS_AT_ONCE).execute(select(table))
    for rows in result.mappings().partitions():
        yield [dict(row) for row in rows]


def _set_counters(connection: Connection) -> None:
    """Let PostgreSQL count on from the rows that came with their numbers."""
    for table in METADATA.sorted_tables:
        if table.autoincrement_column is None:
            continue
        highest = connection.execute(select(func.max(table.c.id))).scalar() or 0
        counter = text("SELECT setval(pg_get_serial_sequence(:name, 'id'), :next, false)")
        connection.execute(counter, {"name": table.name, "next": highest + 1})


def _is_empty(connection: Connection) -> bool:
    kept = [it for it in METADATA.sorted_tables if it is not ORGANISATIONS]
    return not any(connection.execute(select(table).limit(1)).first() for table in kept)


def _remove(path: Path) -> None:
    for ending in ("", "-wal", "-shm", "-lock"):
        path.with_name(path.name + ending).unlink(missing_ok=True)
