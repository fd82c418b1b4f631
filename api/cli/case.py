"""`ventsleuth case`: list cases, show one, and reason through one again."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime

import click

from api.cases.find import Wanted, list_cases
from api.cases.record import Records
from api.cases.replay import replay
from api.cli.where import DATA_OPTION, database_at
from api.dependencies import Service
from api.site_shelf import SiteShelf
from api.storage.tables import LOCAL
from api.store import Store, open_store
from diag.desk import open_desk
from diag.hearing import load_intake
from knowledge.translations import load_translations

ORG_OPTION = click.option("--org", default=LOCAL, show_default=True, help="Organisation the case belongs to.")


@click.group("case")
def command() -> None:
    """List cases, show one, and reason through one again."""


@command.command("list")
@click.argument("words", required=False)
@ORG_OPTION
@DATA_OPTION
def list_all(words: str | None, org: str, data: str | None) -> None:
    """List the cases newest first, or those that hold all WORDS."""
    with _store(data) as store:
        rows, more = list_cases(Records(store.database), org, Wanted(words=words, most=100))
    for row in rows:
        cause = row.confirmed_cause or (f"{row.leading_cause}?" if row.leading_cause else "")
        click.echo(f"{row.id}  {row.number:5}  {row.status:6}  {row.opened_at[:16]}  {row.title}  {cause}".rstrip())
    click.echo(f"{len(rows)} case{'' if len(rows) == 1 else 's'}{' and more' if more else ''}.")


@command.command("show")
@click.argument("case_id")
@ORG_OPTION
@DATA_OPTION
def show(case_id: str, org: str, data: str | None) -> None:
    """Print the events of the case CASE_ID in order."""
    with _store(data) as store:
        row, events = Records(store.database).read(org, case_id)
    click.echo(f"Case {row.number}, {row.status}: {row.title}")
    for event in events:
        fields = ", ".join(f"{name} {it}" for name, it in event.data.items() if name != "then" and it not in (None, []))
        click.echo(f"{event.seq:4}  {event.at[:19]}  {event.by}  {event.kind}: {fields}")


@command.command("replay")
@click.argument("case_id")
@ORG_OPTION
@DATA_OPTION
def replay_case(case_id: str, org: str, data: str | None) -> None:
    """Reason through the case CASE_ID again; ends with exit code 1 when the same knowledge gives another result."""
    with _store(data) as store, open_desk() as desk:
        service = Service(desk, load_intake(), store, SiteShelf(store), datetime.now, load_translations())
        _, events = Records(store.database).read(org, case_id)
        steps = list(replay(service, org, events))
    for step in steps:
        verdict = "the same" if step.is_same else "DIFFERS" if step.is_defect else "differs, with other knowledge"
        click.echo(f"{step.seq:4}  {step.kind:14} {step.says}")
        now = f"{step.now_leading} ({step.now_version})"
        click.echo(f"      then {step.then_leading} ({step.then_version}), now {now}: {verdict}")
    same = sum(it.is_same for it in steps)
    click.echo(f"{same} of {len(steps)} results are the same.")
    if any(it.is_defect for it in steps):
        raise click.exceptions.Exit(1)


@contextmanager
def _store(data: str | None) -> Iterator[Store]:
    store = open_store(database_at(data, must_exist=True))
    try:
        yield store
    finally:
        store.close()
