"""`ventsleuth site list`, `store`, `show`, `versions` and `compare`: the sites that the service keeps."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import click

from api.cli.access import ORG_OPTION
from api.cli.where import DATA_OPTION, database_at
from api.sites.difference import differences
from api.store import SiteVersion, Store, open_store
from diag.errors import UnknownSite
from diag.site_file import dump_site, load_site, site_from_data

BY = "command line"
FORM = re.compile(r"(?=.{1,60}$)[a-z0-9]+(-[a-z0-9]+)*")
ID = click.argument("site_id", metavar="ID")


@click.command("list")
@ORG_OPTION
@DATA_OPTION
def list_stored(org: str, data: str | None) -> None:
    """List the stored sites."""
    with _store(data, org) as store:
        for it in store.headings():
            click.echo(f"{it.id}  {it.name}{' (demo)' if it.demo else ''}")


@click.command("store")
@ID
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@ORG_OPTION
@DATA_OPTION
def store_file(site_id: str, file: Path, org: str, data: str | None) -> None:
    """Store the description in FILE as the next version of site ID; a faulty one is refused with its lines."""
    if not FORM.fullmatch(site_id):
        raise click.UsageError(
            f"The id of a site is like north-hall: small letters, digits and hyphens; not {site_id}."
        )
    site = load_site(file)
    description = site.model_dump(mode="json", by_alias=True, exclude_unset=True)
    with _store(data, org) as store:
        is_new = store.put_site(site_id, site.name, description, by=BY)
        version = store.site_versions(site_id)[-1].version
    click.echo(f"Stored {site_id} as {'new' if is_new else f'version {version}'}.")


@click.command("show")
@ID
@click.option("--version", type=click.IntRange(1), help="The last one when left out.")
@ORG_OPTION
@DATA_OPTION
def show(site_id: str, version: int | None, org: str, data: str | None) -> None:
    """Print the description of site ID as YAML, to edit or to take elsewhere."""
    with _store(data, org) as store:
        found = _version(store, site_id, version)
    click.echo(dump_site(site_from_data(found.description, site_id)), nl=False)


@click.command("versions")
@ID
@ORG_OPTION
@DATA_OPTION
def versions(site_id: str, org: str, data: str | None) -> None:
    """List the versions of site ID: when each was stored, and by whom."""
    with _store(data, org) as store:
        for it in _versions(store, site_id):
            click.echo(f"{it.version:4}  {it.stored_at[:16]}  {it.stored_by}  {it.name}")


@click.command("compare")
@ID
@click.option("--before", type=click.IntRange(1), help="The version before the other when left out.")
@click.option("--after", type=click.IntRange(1), help="The last one when left out.")
@ORG_OPTION
@DATA_OPTION
def compare(site_id: str, before: int | None, after: int | None, org: str, data: str | None) -> None:
    """Print what changed between two versions of site ID, a field a line."""
    with _store(data, org) as store:
        newer = _version(store, site_id, after)
        older = _version(store, site_id, before or max(1, newer.version - 1))
    for it in differences(older.description, newer.description):
        click.echo(f"{it.field}: {_told(it.before)} -> {_told(it.after)}")


@contextmanager
def _store(data: str | None, org: str) -> Iterator[Store]:
    store = open_store(database_at(data, must_exist=True))
    try:
        yield store.of(org)
    finally:
        store.close()


def _versions(store: Store, site_id: str) -> list[SiteVersion]:
    found = store.site_versions(site_id)
    if not found:
        raise UnknownSite(site_id, [it.id for it in store.headings()])
    return found


def _version(store: Store, site_id: str, version: int | None) -> SiteVersion:
    found = _versions(store, site_id)
    for it in found:
        if it.version == (version or found[-1].version):
            return it
    raise UnknownSite(f"{site_id}, version {version}")


def _told(value: Any) -> str:
    return "not there" if value is None else json.dumps(value, ensure_ascii=False)
