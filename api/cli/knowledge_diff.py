"""`ventsleuth knowledge diff`: which answers of the stories would change."""

from __future__ import annotations

from pathlib import Path

import click

from api.cli.knowledge_folder import FAILED, exported, print_faults
from diag.knowledge_diff import Answer, Change, Difference, knowledge_difference
from knowledge.load import BadKnowledge


@click.command("diff")
@click.argument("old")
@click.argument("new")
def command(old: str, new: str) -> None:
    """Say which entries differ from OLD to NEW and which stories are answered otherwise.

    OLD and NEW are folders of knowledge, or git revisions of this checkout.
    """
    with exported(old) as old_folder, exported(new) as new_folder:
        _print(_difference(old_folder, new_folder))


def _difference(old: Path, new: Path) -> Difference:
    try:
        return knowledge_difference(old, new)
    except BadKnowledge as error:
        print_faults([str(fault) for fault in error.faults])
        raise click.exceptions.Exit(FAILED) from None


def _print(difference: Difference) -> None:
    groups = (("Added", difference.added), ("Removed", difference.removed), ("Changed", difference.changed))
    for heading, entries in groups:
        if entries:
            click.echo(f"{heading}: {', '.join(entries)}")
    if not any(entries for _, entries in groups):
        click.echo("The entries are the same.")
    worse = sum(it.is_worse for it in difference.stories)
    better = sum(it.is_better for it in difference.stories)
    click.echo(
        f"{len(difference.stories)} of {difference.stories_run} stories are answered otherwise: "
        f"{better} better, {worse} worse."
    )
    for it in sorted(difference.stories, key=lambda it: (not it.is_worse, it.is_better, it.story)):
        _print_change(it)


def _print_change(change: Change) -> None:
    word = "worse" if change.is_worse else "better" if change.is_better else "same place"
    click.echo(f"\n{change.story}: {change.true_cause} is right ({word})")
    click.echo(f"  before  {_words(change.before)}")
    click.echo(f"  after   {_words(change.after)}")


def _words(answer: Answer | None) -> str:
    if answer is None:
        return "cannot be run on this knowledge"
    place = f"place {answer.rank}, {answer.probability:.0%}" if answer.rank else "not among the causes shown"
    return f"{answer.leader} leads; the right one: {place}"
