"""`ventsleuth doctor`: look whether everything the service needs is well, and say what to do where it is not."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import click

from api.cli.where import DATA_OPTION, database_at
from api.operation.readiness import (
    Found,
    check_clock,
    check_database,
    check_disk,
    check_engine,
    check_file,
    check_knowledge,
)
from api.storage.database import BadDatabase, open_database
from diag.desk import open_desk


@click.command("doctor")
@DATA_OPTION
def command(data: str | None) -> None:
    """Check database, engine, knowledge, disk and clock; ends with exit code 1 when something is not well."""
    found = [*_about_database(database_at(data)), *_about_reasoning()]
    for it in found:
        click.echo(f"{'well' if it.is_well else 'NOT WELL':9} {it.what:10} {it.says}")
    if not all(it.is_well for it in found):
        raise click.exceptions.Exit(1)


def _about_database(where: Path | str) -> list[Found]:
    if isinstance(where, Path) and not where.exists():
        return [Found("database", True, f"None yet at {where}; the service makes one when it starts.")]
    try:
        database = open_database(where)
    except BadDatabase as error:
        return [Found("database", False, str(error))]
    try:
        found = [check_database(database), check_file(database.path), check_disk(database.path), check_clock(database)]
    finally:
        database.close()
    return [*found, Found("sqlite", True, f"Version {sqlite3.sqlite_version}; one writer at a time, whatever its age.")]


def _about_reasoning() -> list[Found]:
    with open_desk() as desk:
        return [check_knowledge(desk), check_engine(desk)]
