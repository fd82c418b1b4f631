"""`ventsleuth knowledge`: check the knowledge base."""

from __future__ import annotations

import click

from diag.lint import check_knowledge
from diag.rule_cases import owners
from knowledge.load import BadKnowledge, load_knowledge


@click.group("knowledge")
def command() -> None:
    """Look after the knowledge base."""


@command.command("check")
def check() -> None:
    """Check every entry and run every case; faults are listed with file and line, and end with exit code 1."""
    try:
        knowledge = load_knowledge()
    except BadKnowledge as error:
        faults = [str(fault) for fault in error.faults]
    else:
        faults = [str(fault) for fault in check_knowledge(knowledge)]
    for fault in faults:
        click.echo(fault, err=True)
    if faults:
        click.echo(f"{len(faults)} fault{'' if len(faults) == 1 else 's'}.", err=True)
        raise click.exceptions.Exit(1)
    rules = sum(len(list(rules)) for _, _, rules, _ in owners(knowledge))
    cases = sum(len(list(cases)) for _, _, _, cases in owners(knowledge))
    click.echo(
        f"Knowledge {knowledge.version}: {len(knowledge.symptoms)} symptoms, {len(knowledge.causes)} causes, "
        f"{len(knowledge.checks)} checks, {rules} rules, {cases} cases, {len(knowledge.cautions)} cautions. No faults."
    )
