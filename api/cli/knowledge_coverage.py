"""`ventsleuth knowledge coverage`: the table of symptoms, causes and checks."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path

import click

from api.cli.knowledge_folder import folder_option, open_knowledge
from diag.errors import UnknownSymptom
from diag.knowledge_coverage import Coverage, Tie, coverage, ties
from knowledge.load import Knowledge, load_stories

COLUMNS = ("symptom", "causes", "checks", "rules", "cases", "stories", "phrases")


@click.command("coverage")
@click.option("--symptom", help="List the causes and checks of this symptom.")
@click.option("--table", is_flag=True, help="Print a line for each symptom and cause, with the checks.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON list.")
@folder_option
def command(symptom: str | None, table: bool, as_json: bool, folder: Path) -> None:
    """Print how many causes, checks, rules, cases, stories and phrases each symptom has."""
    knowledge = open_knowledge(folder)
    symptom = _known(knowledge, symptom)
    pairs = ties(knowledge, symptom)
    lines = [it for it in coverage(knowledge, load_stories(folder)) if symptom in (None, it.symptom)]
    if as_json:
        click.echo(json.dumps([asdict(it) for it in (pairs if table else lines)], indent=2))
    elif table:
        _print_ties(pairs)
    else:
        _print_table(lines)
        _print_sum(pairs, lines)
    if symptom and not as_json and not table:
        _print_lists(lines[0])


def _known(knowledge: Knowledge, symptom: str | None) -> str | None:
    current = knowledge.current("Symptom", symptom) if symptom else None
    if current and current not in knowledge.symptoms:
        raise UnknownSymptom(current, knowledge.symptoms)
    return current


def _print_table(lines: list[Coverage]) -> None:
    width = max(len(it.symptom) for it in lines)
    click.echo(f"{'symptom':{width}}" + "".join(f"{it:>9}" for it in COLUMNS[1:]) + "  hardest to tell apart")
    for it in lines:
        numbers = (len(it.causes), len(it.checks), it.rules, it.cases, it.stories, it.phrases)
        pair = f"  {it.closest[0]} / {it.closest[1]} ({it.closest_checks} checks)" if it.closest else ""
        click.echo(f"{it.symptom:{width}}" + "".join(f"{number:9}" for number in numbers) + pair)


def _print_sum(pairs: list[Tie], lines: list[Coverage]) -> None:
    shown = sum(len(it.checks) for it in pairs)
    fewest = min(lines, key=lambda it: len(it.causes))
    click.echo(
        f"\n{len(lines)} symptoms, {len(pairs)} pairs of symptom and cause, {shown / len(pairs):.1f} checks a pair."
        f" Fewest causes: {fewest.symptom} ({len(fewest.causes)})."
    )


def _print_ties(pairs: list[Tie]) -> None:
    wide = max(len(it.symptom) for it in pairs), max(len(it.cause) for it in pairs)
    click.echo(f"{'symptom':{wide[0]}}  {'cause':{wide[1]}}  {'seen':9}  checks; * decides")
    for it in pairs:
        checks = " ".join(f"*{check}" if check in it.decisive else check for check in it.checks)
        click.echo(f"{it.symptom:{wide[0]}}  {it.cause:{wide[1]}}  {it.seen:9}  {checks}")
    click.echo(f"\n{len(pairs)} pairs of symptom and cause, {sum(len(it.checks) for it in pairs)} with their checks.")


def _print_lists(line: Coverage) -> None:
    for heading, rows in (("Causes", line.causes), ("Checks", line.checks)):
        click.echo(f"\n{heading}")
        for row in rows:
            click.echo(f"  {row}")
