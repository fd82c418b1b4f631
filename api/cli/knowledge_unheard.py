"""`ventsleuth knowledge unheard`: the typed texts nobody understood, for those who write phrases."""

from __future__ import annotations

from collections.abc import Iterable

import click

from api.cli.ask_service import ask_service
from api.cli.kept import ORG_OPTION, open_data
from api.cli.where import DATA_OPTION
from api.unheard import unheard_groups
from diag.hearing import load_intake


@click.command("unheard")
@DATA_OPTION
@ORG_OPTION
@click.option("--service", metavar="URL", help="Ask a service instead, for your own organisation.")
@click.option("--key", envvar="VENTSLEUTH_KEY", help="With --service: an API key with the scope authoring.")
def command(data: str | None, org: str, service: str | None, key: str | None) -> None:
    """List the texts that were typed and not understood, those that are alike together, most frequent first.

    The key of a service is better put in the environment as VENTSLEUTH_KEY than written in the command.
    """
    if service:
        found = ask_service(service, "/v1/unheard?latest=2000", key)
        groups = [[it["text"]] * (it["count"] - len(it["others"])) + it["others"] for it in found["groups"]]
        _print(groups, found["texts"])
        return
    with open_data(data) as store:
        texts = store.of(org).heard()
    _print(unheard_groups(load_intake(), texts), len(texts))


def _print(groups: Iterable[list[str]], texts: int) -> None:
    unheard = 0
    for group in groups:
        unheard += len(group)
        click.echo(f"{len(group):5}  {_shown(group[0])}")
        for text in dict.fromkeys(group[1:]):
            if text != group[0]:
                click.echo(f"       {_shown(text)}")
    click.echo(f"{unheard} of {texts} texts were not understood.")


def _shown(text: str) -> str:
    """Return the text on one line, with what is not printable written out, so that a terminal shows it and no more."""
    return "".join(it if it.isprintable() else f"\\x{ord(it):02x}" for it in text)[:200]
