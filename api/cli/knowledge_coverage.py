"""`ventsleuth knowledge coverage`: the table of symptoms, causes and checks."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path

import click

from api.cli.knowledge_folder import folder_option, open_knowledge
from diag.errors import UnknownSymptom
from diag.knowledge_coverage import Coverage, coverage
from knowledge.load import load_stories

COLUMNS = ("symptom", "causes", "checks", "rules", "cases", "stories", "phrases")


@click.command("coverage")
@click.option("--symptom", help="List the causes and checks of this symptom.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON list.")
@folder_option
def command(symptom: str | None, as_json: bool, folder: Path) -> None:
    """Print how many causes, checks, rules, cases, stories and phrases each symptom has."""
    knowledge = open_knowledge(folder)
    lines = coverage(knowledge, load_stories(folder))
    if symptom:
        symptom = knowledge.current("Symptom", symptom)
        lines = [it for it in lines if it.symptom == symptom]
        if not lines:
            raise UnknownSymptom(symptom, knowledge.symptoms)
    if as_json:
        click.echo(json.dumps([asdict(it) for it in lines], indent=2))
        return
    _print_table(lines)
    if symptom:
        _print_lists(lines[0])


def _print_table(lines: list[Coverage]) -> None:
    width = max(len(it.symptom) for it in lines)
    click.echo(f"{'symptom':{width}}" + "".join(f"{it:>9}" for it in COLUMNS[1:]) + "  hardest to tell apart")
    for it in lines:
        numbers = (len(it.causes), len(it.checks), it.rules, it.cases, it.stories, it.phrases)
        pair = f"  {it.closest[0]} / {it.closest[1]} ({it.closest_checks} checks)" if it.closest else ""
        click.echo(f"{it.symptom:{width}}" + "".join(f"{number:9}" for number in numbers) + pair)


def _print_lists(line: Coverage) -> None:
    for heading, rows in (("Causes", line.causes), ("Checks", line.checks)):
        click.echo(f"\n{heading}")
        for row in rows:
            click.echo(f"  {row}")
