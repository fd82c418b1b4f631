"""`ventsleuth site`: check, draft and keep site descriptions, and the schema that editors complete them with."""

from __future__ import annotations

import json

import click

from api.cli.site_draft import ask, draft
from api.cli.site_store import compare, list_stored, show, store_file, versions
from api.cli.sites import open_site
from diag.site_file import site_schema
from diag.topology import read_topology


@click.group("site")
def command() -> None:
    """Check, draft and keep site descriptions."""


@command.command("check")
@click.argument("site")
def check(site: str) -> None:
    """Check a site FILE or demo name; every fault is listed with its line, and ends with exit code 1."""
    topology = read_topology(open_site(site))
    counts: dict[str, int] = {}
    for kind in topology.kinds.values():
        counts[kind] = counts.get(kind, 0) + 1
    listed = ", ".join(f"{number} {kind}{'' if number == 1 else 's'}" for kind, number in sorted(counts.items()))
    click.echo(f"{topology.site.name}: no faults. {listed or 'No parts described'}.")


@command.command("schema")
def schema() -> None:
    """Print the JSON Schema of site descriptions."""
    click.echo(json.dumps(site_schema(), indent=2, ensure_ascii=False))


for it in (draft, ask, list_stored, store_file, show, versions, compare):
    command.add_command(it)
