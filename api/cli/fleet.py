"""`ventsleuth fleet`: inspect all stored sites at once."""

from __future__ import annotations

import csv
import os
import sys
from datetime import date

import click

from api.cli.case import ORG_OPTION
from api.cli.where import DATA_OPTION, database_at
from api.fleet.batch import Inspected, dask_executor, inspect_many, local_executor
from api.store import open_store
from diag.inspection.findings import SEVERITIES

FOUND = 1


@click.group("fleet")
def command() -> None:
    """Look at all sites at once."""


@command.command("inspect")
@click.option("--processes", type=click.IntRange(1, 256), default=os.cpu_count(), show_default="one each processor")
@click.option("--dask", "scheduler", metavar="ADDRESS", help="Spread the work over a Dask cluster instead.")
@ORG_OPTION
@DATA_OPTION
def inspect_all(processes: int, scheduler: str | None, org: str, data: str | None) -> None:
    """Inspect every stored site and print a table; ends with exit code 1 when one has an error or cannot be read."""
    store = open_store(database_at(data, must_exist=True)).of(org)
    try:
        sites = [(it.id, it.description) for it in store.sites()]
    finally:
        store.close()
    with dask_executor(scheduler) if scheduler else local_executor(processes) as executor:
        found = sorted(inspect_many(executor, sites, date.today()), key=lambda it: it.site)
    _print(found)
    if any(it.refused or it.findings.get("error") for it in found):
        raise click.exceptions.Exit(FOUND)


def _print(found: list[Inspected]) -> None:
    table = csv.writer(sys.stdout, lineterminator="\n")
    table.writerow(("site", *SEVERITIES, "refused"))
    table.writerows((it.site, *(it.findings.get(name, 0) for name in SEVERITIES), it.refused or "") for it in found)
