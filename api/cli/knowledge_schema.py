"""`ventsleuth knowledge schema`: print the schema that editors complete entries with."""

from __future__ import annotations

import click

from diag.knowledge_schema import schema_text


@click.command("schema")
def command() -> None:
    """Print the JSON Schema of the files of the knowledge base; it is kept as entry.schema.json."""
    click.echo(schema_text(), nl=False)
