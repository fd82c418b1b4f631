"""Where the service keeps its database: a folder, or the address of PostgreSQL."""

from __future__ import annotations

import os
from pathlib import Path

import click

DATABASE = "ventsleuth.db"
ADDRESS_VARIABLE = "VENTSLEUTH_DATA"

DATA_OPTION = click.option(
    "--data",
    envvar=ADDRESS_VARIABLE,
    metavar="FOLDER|URL",
    help="Folder for an SQLite database, or postgresql://USER@HOST/NAME.",
)


def data_folder() -> Path:
    """Return the folder where the service keeps its database unless it is told another."""
    base = os.environ.get("XDG_STATE_HOME") or str(Path.home() / ".local" / "state")
    return Path(base) / "ventsleuth"


def database_at(data: str | None, must_exist: bool = False) -> Path | str:
    """Return the file or address that --data means; raise ClickException when it has to be there and is not."""
    if data and "://" in data:
        return data
    path = (Path(data) if data else data_folder()) / DATABASE
    if must_exist and not path.exists():
        raise click.ClickException(f"There is no database at {path}. Name the folder of the service with --data.")
    return path
