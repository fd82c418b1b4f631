"""`ventsleuth knowledge`: look after the knowledge base."""

from __future__ import annotations

import importlib
from collections.abc import Mapping

import click

SUBCOMMANDS: Mapping[str, str] = {
    "check": "api.cli.knowledge_check",
    "coverage": "api.cli.knowledge_coverage",
    "diff": "api.cli.knowledge_diff",
    "map": "api.cli.knowledge_map",
    "new": "api.cli.knowledge_new",
    "rates": "api.cli.knowledge_rates",
    "schema": "api.cli.knowledge_schema",
    "stories": "api.cli.knowledge_stories",
    "unheard": "api.cli.knowledge_unheard",
    "why": "api.cli.knowledge_why",
}
"""Each subcommand and the module that holds it under the name `command`; imported only when it is used."""


class KnowledgeGroup(click.Group):
    """A group that imports a subcommand only when it is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002  (the signature is click's)
        """Return the names of all subcommands."""
        return sorted(SUBCOMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """Return a subcommand, imported now."""
        if cmd_name not in SUBCOMMANDS:
            return None
        command: click.Command = importlib.import_module(SUBCOMMANDS[cmd_name]).command
        return command


@click.group("knowledge", cls=KnowledgeGroup)
def command() -> None:
    """Look after the knowledge base."""
