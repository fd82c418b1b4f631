"""`ventsleuth fleet`: inspect all stored sites at once."""

from __future__ import annotations

import csv
import os
import sys
from collections import Counter
from contextlib import closing
from datetime import date
from functools import partial

import click

from api.cli.access import ORG_OPTION
from api.cli.where import DATA_OPTION, database_at
from api.fleet.batch import Inspected, dask_executor, inspect_many, local_executor
from api.store import open_store
from diag.inspection.findings import SEVERITIES
from knowledge.load import load_inspections

FOUND = 1


@click.group("fleet")
def command() -> None:
    """Look at all sites at once."""


@command.command("inspect")
@click.option("--processes", type=click.IntRange(1, 256), default=os.cpu_count(), show_default="one each processor")
@click.option("--dask", "scheduler", metavar="ADDRESS", help="Spread the work over a Dask cluster instead.")
@click.option("--by", type=click.Choice(["site", "rule"]), default="site", show_default=True, help="A line for each.")
@ORG_OPTION
@DATA_OPTION
def inspect_all(processes: int, scheduler: str | None, by: str, org: str, data: str | None) -> None:
    """Inspect every stored site and print a table; ends with exit code 1 when one has an error or cannot be read."""
    where = partial(dask_executor, scheduler) if scheduler else partial(local_executor, processes)
    with closing(open_store(database_at(data, must_exist=True))) as store:
        sites = store.of(org).each_description()
        found = sorted(inspect_many(where, sites, date.today()), key=lambda it: it.site)
    if by == "site":
        print_by_site(found)
    else:
        print_by_rule(found)
    if any(it.refused or it.findings.get("error") for it in found):
        raise click.exceptions.Exit(FOUND)


def print_by_site(found: list[Inspected]) -> None:
    """Print how many findings of each severity every site has."""
    table = csv.writer(sys.stdout, lineterminator="\n")
    table.writerow(("site", *SEVERITIES, "refused"))
    table.writerows((it.site, *(it.findings.get(name, 0) for name in SEVERITIES), it.refused or "") for it in found)


def print_by_rule(found: list[Inspected]) -> None:
    """Print what recurs: at how many sites each rule found something, the most frequent first."""
    rules = load_inspections().rules
    sites = Counter(rule for it in found for rule in it.rules)
    findings: Counter[str] = sum((Counter(it.rules) for it in found), Counter())
    table = csv.writer(sys.stdout, lineterminator="\n")
    table.writerow(("rule", "severity", "title", "sites", "findings"))
    for rule, count in sorted(sites.items(), key=lambda it: (-it[1], it[0])):
        table.writerow((rule, rules[rule].severity, rules[rule].title, count, findings[rule]))
