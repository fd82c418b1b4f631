"""`ventsleuth diagnose`: one answer as text or JSON, or the whole call-out as a conversation."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from datetime import date, datetime

import click

from api.cli.conversation import converse
from api.cli.plain import print_diagnosis
from api.cli.sites import open_site
from api.intake_step import said_events
from api.plans import look_out, plan_out, with_plan
from api.reports import report
from api.runs import explain_away
from diag.case_text import read_event, read_finding, read_now, read_symptom
from diag.crew import Crew
from diag.desk import Desk, open_desk
from diag.diagnose import answer
from diag.hearing import load_intake, meant
from diag.intake import understand
from diag.observations import Case
from diag.reasoning import Reasoning, open_case
from diag.scope import is_stand_in
from diag.site import Site
from diag.topology import read_topology
from diag.words.understood import Understood

NOT_RECOGNISED = 3


@click.command("diagnose")
@click.argument("text", required=False)
@click.option("--site", "site_name", help="Site file, or demo name: small, medium or campus.")
@click.option("--symptom", "symptoms", multiple=True, metavar="ID[@PART]", help="A symptom by id; repeatable.")
@click.option(
    "--finding",
    "findings",
    multiple=True,
    metavar="CHECK[@PART]=OUTCOME[~]",
    help="An answer; with ~ behind it you only think so, and it counts less; repeatable.",
)
@click.option("--told", multiple=True, metavar="CONDITION", help="A circumstance, such as when-cold; repeatable.")
@click.option(
    "--event", "events", multiple=True, metavar="TIME=CLASS[@PART]", help="A command given, such as 10:05=manual."
)
@click.option(
    "--at", "at_text", metavar="TIME", help="The time asked about: 10:20 or a full date and time; now if left out."
)
@click.option("--why-not", multiple=True, metavar="CAUSE", help="Explain why this cause is not suspected; repeatable.")
@click.option("--remote", is_flag=True, help="Only a lay person is there: offer only checks that one may make.")
@click.option("--alone", is_flag=True, help="Nobody else is there: leave out what needs a second person.")
@click.option("--dark", is_flag=True, help="It is dark: leave out work on a roof or in the open.")
@click.option("--without", "missing", multiple=True, metavar="TOOL", help="A tool not to be had today; repeatable.")
@click.option("--json", "as_json", is_flag=True, help="Answer once, as JSON.")
@click.option(
    "--plan", "with_steps", is_flag=True, help="With --json: add the best step, doubtful answers and double faults."
)
def command(
    text: str | None,
    site_name: str | None,
    symptoms: tuple[str, ...],
    findings: tuple[str, ...],
    told: tuple[str, ...],
    events: tuple[str, ...],
    at_text: str | None,
    why_not: tuple[str, ...],
    remote: bool,
    alone: bool,
    dark: bool,
    missing: tuple[str, ...],
    as_json: bool,
    with_steps: bool,
) -> None:
    """Find the cause of what TEXT says. On a terminal it asks, takes answers and goes on to the proof of repair."""
    if not text and not symptoms:
        raise click.UsageError("Say what is wrong, as text or with --symptom.")
    site = open_site(site_name)
    at = read_now(at_text, date.today(), site.time_zone) or datetime.now().replace(second=0, microsecond=0)
    understood = understand(load_intake(), text, read_topology(site)) if text else None
    case = Case(
        symptoms=tuple(read_symptom(it) for it in symptoms) or (meant(understood) if understood else ()),
        told=frozenset(told) | (understood.told if understood else frozenset()),
        findings=tuple(read_finding(it) for it in findings),
        events=tuple(read_event(it, at) for it in events) + (said_events(understood, at) if understood else ()),
        at=at,
        remote=remote,
        crew=Crew(is_dark=dark, alone=alone, without=frozenset(missing)),
    )
    if not case.symptoms and not as_json:
        _refuse(text or "", understood)
    with open_desk() as desk:
        if as_json:
            _print_json(desk, site, case, understood, why_not, with_steps)
        elif sys.stdin.isatty() and not findings:
            converse(desk, site, case)
        else:
            _print_plain(desk, site, case, why_not)
    if not case.symptoms:
        raise click.exceptions.Exit(NOT_RECOGNISED)


def _refuse(text: str, understood: Understood | None) -> None:
    click.echo(f"Not recognised: {text}", err=True)
    if understood and understood.why_not:
        click.echo(understood.why_not, err=True)
    raise click.exceptions.Exit(NOT_RECOGNISED)


def _print_json(
    desk: Desk, site: Site, case: Case, understood: Understood | None, causes: tuple[str, ...], with_steps: bool
) -> None:
    reasoning = open_case(desk.reasoner, desk.prepared(site, case.at.date() if case.at else None), case)
    answered = report(
        desk.reasoner.knowledge,
        case,
        answer(desk.reasoner, reasoning, case.findings),
        explain_away(desk.reasoner, reasoning, causes),
        understood,
    )
    if with_steps:
        answered = with_plan(answered, desk.reasoner, reasoning, case.findings)
    click.echo(answered.model_dump_json(indent=2))


def _print_plain(desk: Desk, site: Site, case: Case, causes: tuple[str, ...]) -> None:
    reasoning = open_case(desk.reasoner, desk.prepared(site, case.at.date() if case.at else None), case)
    for asked in _where_asked(reasoning, case):
        click.echo(asked)
    outlook = look_out(desk.reasoner, reasoning, case.findings)
    plan = plan_out(desk.reasoner, reasoning, outlook) if outlook else None
    diagnosis = answer(desk.reasoner, reasoning, case.findings)
    print_diagnosis(desk.reasoner.knowledge, diagnosis, plan, outlook)
    for it in explain_away(desk.reasoner, reasoning, causes):
        click.echo(f"\nWhy not “{it.name}”? It stands at {it.probability:.0%}.")
        for reason in it.why:
            click.echo(f"  {reason.says}")


def _where_asked(reasoning: Reasoning, case: Case) -> Iterator[str]:
    """Yield a request for the part of each finding that names none and may have been made at several."""
    for finding in case.findings:
        parts = [part for check, part in reasoning.options.options if check == finding.check]
        if finding.part is None and len(parts) > 1 and not any(is_stand_in(part) for part in parts):
            choices = f"{', '.join(parts[:-1])} or {parts[-1]}"
            yield f"{finding.check} can be made at {choices}. Say which, as {finding.check}@{parts[0]}.\n"
