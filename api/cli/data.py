"""`ventsleuth data`: back up, restore and look after what the service keeps."""

from __future__ import annotations

from pathlib import Path

import click

from api.cli.where import DATA_OPTION, database_at
from api.operation.erasure import erase_organisation
from api.operation.retention import forget
from api.storage import backup
from api.storage.database import open_database
from api.store import open_store


@click.group("data")
def command() -> None:
    """Back up, restore and look after what the service keeps."""


@command.command("backup")
@click.argument("target", type=click.Path(dir_okay=False, path_type=Path))
@DATA_OPTION
def back_up(target: Path, data: str | None) -> None:
    """Copy the database to the new file TARGET, also while the service runs."""
    database = open_database(database_at(data, must_exist=True))
    try:
        backup.back_up(database, target)
    finally:
        database.close()
    backup.check_file(target)
    click.echo(f"Backed up to {target}, {target.stat().st_size / 1e6:.1f} MB, checked. Keep it on another machine.")


@command.command("restore")
@click.argument("source", type=click.Path(dir_okay=False, path_type=Path))
@DATA_OPTION
def restore(source: Path, data: str | None) -> None:
    """Fill a new database from the backup SOURCE; one that holds anything is refused."""
    database = open_database(database_at(data))
    try:
        backup.restore(source, database)
    finally:
        database.close()
    click.echo("Restored. Start the service with the same --data.")


@command.command("forget")
@DATA_OPTION
def forget_old(data: str | None) -> None:
    """Remove what is past the days each organisation keeps; the service does so every hour by itself."""
    store = open_store(database_at(data, must_exist=True))
    try:
        gone = forget(store.database)
    finally:
        store.close()
    click.echo(
        f"Removed {gone.cases} cases, {gone.texts} typed texts, {gone.training} classes, practice call-outs and cards, "
        f"and {gone.requests} kept answers."
    )


@command.command("erase")
@click.argument("org")
@click.option("--yes", is_flag=True, help="Do not ask.")
@DATA_OPTION
def erase(org: str, yes: bool, data: str | None) -> None:
    """Remove the organisation ORG with its people, sites, cases, training and log, for good."""
    if not yes:
        click.confirm(f"Remove {org} with all it has? Backups keep it until they are removed too.", abort=True)
    store = open_store(database_at(data, must_exist=True))
    try:
        if not erase_organisation(store.database, org):
            raise click.ClickException(f"There is no organisation {org}. Nothing was removed.")
    finally:
        store.close()
    click.echo(f"Removed {org}.")
