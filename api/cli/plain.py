"""Print a diagnosis for people at a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

import click

from api.plan_shapes import PlanOut
from api.plans import Outlook
from diag.observations import Diagnosis, NextCheck, Repair
from knowledge.load import Knowledge

WIDTH = 88
SHOWN = 6


def print_diagnosis(
    knowledge: Knowledge, diagnosis: Diagnosis, plan: PlanOut | None = None, outlook: Outlook | None = None
) -> None:
    """Print causes with their reasons, then the best step, then repair and check in full, cautions first."""
    for advice in diagnosis.advice:
        print_wrapped(f"Note: {advice.says}")
    print_causes(diagnosis)
    if plan:
        print_plan(plan)
    repair = (outlook.repair if outlook else None) or diagnosis.repair
    if repair:
        print_repair(knowledge, repair)
    check = check_to_make(diagnosis, outlook)
    if check:
        print_check(knowledge, check)


def check_to_make(diagnosis: Diagnosis, outlook: Outlook | None) -> NextCheck | None:
    """Return the check of the plan, else the one that tells most for its minutes, if any is left."""
    return (outlook.check if outlook else None) or next(iter(diagnosis.next), None)


def print_plan(plan: PlanOut) -> None:
    """Print the best step now, the most doubtful answer, and the likeliest pair of faults where there is one."""
    click.echo()
    print_wrapped(f"Best step now: {plan.step.says}", "  ")
    for says in (*(it.says for it in plan.doubtful[:1]), *(it.says for it in plan.pairs[:1])):
        print_wrapped(says, "  ")


def print_causes(diagnosis: Diagnosis, reasons: int = 1) -> None:
    """Print the likeliest causes, each with its first reasons."""
    click.echo("\nLikely causes")
    for it in diagnosis.causes[:SHOWN]:
        where = "" if it.where == "the site" else f", {it.where}"
        print_wrapped(f"{it.probability:5.0%}  {it.name}{where}", "       ")
        for reason in it.why[:reasons]:
            print_wrapped(f"       {reason.says}", "       ")
    if diagnosis.resumes_at:
        click.echo(f"\nAutomatic works again at {diagnosis.resumes_at:%H:%M}.")


def print_check(knowledge: Knowledge, check: NextCheck) -> None:
    """Print a check: cautions first, then where, how, and what to expect."""
    click.echo(f"\nNext check: {check.name}, {check.where}")
    print_cautions(knowledge, check.cautions)
    walk = f" and {check.walk_minutes:g} min on foot" if check.walk_minutes else ""
    place = f" at the {check.place}" if check.place else ""
    tools = f" Tools: {', '.join(check.tools)}." if check.tools else ""
    print_wrapped(f"  About {check.minutes:g} min{walk}{place}. For: {check.competence} person.{tools}", "  ")
    print_wrapped(f"  {check.how}", "  ")
    print_wrapped(f"  Expect: {check.expect}", "  ")
    print_wrapped(f"  Why now: {check.why_now}", "  ")
    print_wrapped(f"  {check.question}", "  ")


def print_repair(knowledge: Knowledge, repair: Repair) -> None:
    """Print the repair of the leading cause and the proof of it."""
    click.echo(f"\nRepair: {repair.name}, {repair.where}")
    print_cautions(knowledge, repair.cautions)
    for number, step in enumerate(repair.steps, 1):
        print_wrapped(f"  {number}. {step}", "     ")
    for proof in repair.proof:
        print_wrapped(f"  Proof: {proof}", "     ")


def print_cautions(knowledge: Knowledge, cautions: Iterable[str]) -> None:
    """Print what to beware of before the step it belongs to."""
    for caution in cautions:
        entry = knowledge.cautions[caution]
        print_wrapped(f"  Caution, {entry.name.lower()}: {entry.text} {entry.defer}", "  ")


def print_wrapped(text: str, indent: str = "") -> None:
    """Print a text folded to the width of a page."""
    click.echo(textwrap.fill(text, WIDTH, subsequent_indent=indent))
