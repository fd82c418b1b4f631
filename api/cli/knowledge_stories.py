"""`ventsleuth knowledge stories`: run the whole call-outs and tell how often the true cause leads."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

import click

from api.cli.knowledge_folder import FAILED, folder_option, open_knowledge, print_faults
from api.cli.plain import print_wrapped
from diag.chapters import compile_chapters
from diag.engine import Engine
from diag.observations import RankedCause
from diag.reasoner import prepare_reasoner
from diag.stories import SHOWN, StoryResult, UnknownStory, run_stories, shares, story_sites
from knowledge.entries import Story
from knowledge.load import BadKnowledge, load_stories


@click.command("stories")
@click.argument("names", nargs=-1, metavar="[NAME]...")
@click.option("--misses", is_flag=True, help="List only the stories whose true cause does not lead.")
@folder_option
def command(names: tuple[str, ...], misses: bool, folder: Path) -> None:
    """Run whole call-outs, all or those NAMEd: the place and share of the true cause, and which do not lead."""
    stories = _chosen(_open_stories(folder), names)
    knowledge = open_knowledge(folder)
    reasoner = prepare_reasoner(knowledge, Engine(compile_chapters(knowledge)).run)
    results = list(run_stories(reasoner, story_sites(), stories))
    missed = [it for it in results if it.rank != 1]
    _print_table(missed if misses else results)
    _print_shares(results)
    for it in missed:
        _print_miss(it, stories[it.name])


def _open_stories(folder: Path) -> dict[str, Story]:
    try:
        return load_stories(folder)
    except BadKnowledge as error:
        print_faults([str(fault) for fault in error.faults])
        raise click.exceptions.Exit(FAILED) from None


def _chosen(stories: Mapping[str, Story], names: Sequence[str]) -> Mapping[str, Story]:
    for name in names:
        if name not in stories:
            raise UnknownStory(name, stories)
    return {name: stories[name] for name in names} if names else stories


def _print_table(results: Sequence[StoryResult]) -> None:
    if not results:
        return
    width = max(len(it.name) for it in results)
    click.echo(f"{'story':{width}}  place  share  true cause")
    for it in results:
        place = str(it.rank) if it.rank else "none"
        click.echo(f"{it.name:{width}}  {place:>5}  {it.probability:5.0%}  {it.leads}")


def _print_shares(results: Sequence[StoryResult]) -> None:
    told = shares(results)
    counted = f"{told.stories} {'story' if told.stories == 1 else 'stories'}"
    click.echo(f"\n{counted}: {told.first:.1%} right first, {told.first_three:.1%} within the first {SHOWN}.")


def _print_miss(result: StoryResult, story: Story) -> None:
    place = f"at place {result.rank}" if result.rank else "not ranked"
    click.echo(f"\n{result.name}: {result.leads} is {place} ({result.probability:.0%})")
    print_wrapped(f"  It must lead: {story.because}", "  ")
    print_wrapped(f"  Instead: {', '.join(_named(it) for it in result.top)}.", "  ")


def _named(cause: RankedCause) -> str:
    return f"{cause.cause}{f'@{cause.part}' if cause.part else ''} ({cause.probability:.0%})"
