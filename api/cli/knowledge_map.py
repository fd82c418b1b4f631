"""`ventsleuth knowledge map`: draw symptoms, causes and checks."""

from __future__ import annotations

from pathlib import Path

import click

from api.cli.knowledge_folder import folder_option, open_knowledge
from diag.errors import UnknownSymptom
from diag.knowledge_map import knowledge_map


@click.command("map")
@click.option("--symptom", help="Draw only what this symptom can come from.")
@click.option("-o", "--output", type=click.Path(dir_okay=False, path_type=Path), help="File to write; left out: print.")
@folder_option
def command(symptom: str | None, output: Path | None, folder: Path) -> None:
    """Draw the map of symptoms, causes and checks as SVG."""
    knowledge = open_knowledge(folder)
    symptom = knowledge.current("Symptom", symptom) if symptom else None
    if symptom and symptom not in knowledge.symptoms:
        raise UnknownSymptom(symptom, knowledge.symptoms)
    drawn = knowledge_map(knowledge, symptom)
    if output is None:
        click.echo(drawn, nl=False)
        return
    output.write_text(drawn, encoding="utf-8")
    click.echo(f"Drawn in {output}.")
