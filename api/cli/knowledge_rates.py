"""`ventsleuth knowledge rates`: how often each cause is found, and why that is thought."""

from __future__ import annotations

from pathlib import Path

import click

from api.cli.knowledge_folder import folder_option, open_knowledge
from api.cli.plain import print_wrapped


@click.command("rates")
@click.option("--family", help="Only the causes of this family, such as wiring.")
@folder_option
def command(family: str | None, folder: Path) -> None:
    """List the base rates of the causes, the most frequent first, each with its reasoning."""
    causes = open_knowledge(folder).causes.values()
    families = sorted({it.family for it in causes})
    if family and family not in families:
        raise click.BadParameter(f"“{family}” is no family of causes. Choose from: {', '.join(families)}.")
    chosen = [it for it in causes if family in (None, it.family)]
    for it in sorted(chosen, key=lambda it: (-it.base_rate.per_thousand, it.id)):
        print_wrapped(f"{it.base_rate.per_thousand:5g}  {it.id}: {it.base_rate.because}", " " * 7)
    whole = sum(it.base_rate.per_thousand for it in causes)
    shown = f", {sum(it.base_rate.per_thousand for it in chosen):g} of them here" if family else ""
    click.echo(f"\nOf 1,000 call-outs, with {whole:g} findings in all{shown}: some call-outs have more than one.")
