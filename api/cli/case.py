"""`ventsleuth case`: list cases, show one, and reason through one again."""

from __future__ import annotations

from datetime import datetime

import click

from api.cases.find import Wanted, list_cases
from api.cases.record import Records
from api.cases.replay import replay
from api.cli.kept import ORG_OPTION, open_data
from api.cli.where import DATA_OPTION
from api.dependencies import Service
from api.rates import Rates
from api.site_shelf import SiteShelf
from diag.desk import open_desk
from diag.hearing import load_intake
from knowledge.translations import load_translations


@click.group("case")
def command() -> None:
    """List cases, show one, and reason through one again."""


@command.command("list")
@click.argument("words", required=False)
@ORG_OPTION
@DATA_OPTION
def list_all(words: str | None, org: str, data: str | None) -> None:
    """List the cases newest first, or those that hold all WORDS."""
    with open_data(data) as store:
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
    with open_data(data) as store:
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
    with open_data(data) as store, open_desk() as desk:
        rates = Rates(store.database, desk.reasoner)
        service = Service(desk, load_intake(), store, SiteShelf(store), datetime.now, load_translations(), rates)
        _, events = Records(store.database).read(org, case_id)
        steps = list(replay(service, org, events))
    for step in steps:
        other = "DIFFERS" if step.is_defect else "differs, with other knowledge or reasoning"
        verdict = "the same" if step.is_same else other
        click.echo(f"{step.seq:4}  {step.kind:14} {step.says}")
        now = f"{step.now_leading} ({step.now_version})"
        click.echo(f"      then {step.then_leading} ({step.then_version}), now {now}: {verdict}")
    same = sum(it.is_same for it in steps)
    click.echo(f"{same} of {len(steps)} results are the same.")
    if any(it.is_defect for it in steps):
        raise click.exceptions.Exit(1)
