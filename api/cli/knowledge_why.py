"""`ventsleuth knowledge why`: show everything that touches an entry."""

from __future__ import annotations

import textwrap
from pathlib import Path

import click

from api.cli.knowledge_folder import folder_option, open_knowledge
from diag.touching import KINDS, Touch, kinds_of, place_of, touches
from knowledge.load import Knowledge, load_stories

WIDTH = 110


@click.command("why")
@click.argument("entry")
@folder_option
def command(entry: str, folder: Path) -> None:
    """Show what touches ENTRY, the id of a symptom, cause, check, caution, condition or deduction."""
    knowledge = open_knowledge(folder)
    stories = load_stories(folder)
    used = _in_use(knowledge, entry)
    for kind in kinds_of(knowledge, used):
        word = KINDS[kind].removesuffix("s")
        click.echo(f"{used}, a {word} in {place_of(knowledge.files[f'{kind}:{used}'])}")
        _print(touches(knowledge, kind, used, stories))


def _in_use(knowledge: Knowledge, entry: str) -> str:
    for kind in KINDS:
        used = knowledge.current(kind, entry)
        if used != entry:
            click.echo(f"{entry} is retired; {used} took its place.")
            return used
    return entry


def _print(ties: list[Touch]) -> None:
    for how in dict.fromkeys(it.how for it in ties):
        click.echo(f"\n{how}")
        for it in ties:
            if it.how == how:
                _print_one(it)


def _print_one(tie: Touch) -> None:
    click.echo(f"  {tie.other}  ({tie.where})")
    if tie.says:
        click.echo(textwrap.fill(tie.says, WIDTH, initial_indent="    ", subsequent_indent="    "))
