"""`ventsleuth knowledge unheard`: the typed texts nobody understood, for those who write phrases."""

from __future__ import annotations

from pathlib import Path

import click

from api.cli.serve import DATABASE, data_folder
from api.store import open_store
from diag.hearing import load_intake
from diag.intake import understand
from diag.likeness import alike_groups


@click.command("unheard")
@click.option("--data", type=click.Path(file_okay=False, path_type=Path), help="Folder of the service's database.")
def command(data: Path | None) -> None:
    """List the texts that were typed and not understood, those that are alike together, most frequent first."""
    path = (data or data_folder()) / DATABASE
    if not path.exists():
        raise click.ClickException(f"There is no database at {path}. Name the folder of the service with --data.")
    store = open_store(path)
    texts = store.heard()
    store.close()
    intake = load_intake()
    unheard = [text for text in texts if not understand(intake, text).recognised]
    for group in alike_groups(unheard):
        click.echo(f"{len(group):5}  {_shown(group[0])}")
        for text in dict.fromkeys(group[1:]):
            if text != group[0]:
                click.echo(f"       {_shown(text)}")
    click.echo(f"{len(unheard)} of {len(texts)} texts were not understood.")


def _shown(text: str) -> str:
    """Return the text on one line, with what is not printable written out, so that a terminal shows it and no more."""
    return "".join(it if it.isprintable() else f"\\x{ord(it):02x}" for it in text)[:200]
