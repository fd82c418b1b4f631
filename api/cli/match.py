"""`ventsleuth match`: which symptoms a text can mean."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable
from typing import Any

import click

from api.cli.sites import open_site
from diag.hearing import load_intake
from diag.intake import Intake, understand
from diag.topology import Topology, read_topology

NOT_RECOGNISED = 3


@click.command("match")
@click.argument("text")
@click.option("--site", "site_name", help="Site file or demo name whose part names may occur in the text.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object a text.")
def command(text: str, site_name: str | None, as_json: bool) -> None:
    """Say which symptoms TEXT can mean, best first. With - for TEXT, read one text a line from standard input."""
    topology = read_topology(open_site(site_name)) if site_name else None
    intake = load_intake()
    texts: Iterable[str] = (line.rstrip("\r\n") for line in sys.stdin) if text == "-" else [text]
    recognised = True
    for said in texts:
        found = _matched(intake, said, topology)
        recognised = recognised and found["recognised"]
        click.echo(json.dumps(found, ensure_ascii=False) if as_json else _plain(said, found))
    if not recognised and text != "-":
        raise click.exceptions.Exit(NOT_RECOGNISED)


def _matched(intake: Intake, text: str, topology: Topology | None) -> dict[str, Any]:
    understood = understand(intake, text, topology)
    symptoms = [{"id": it.symptom, "part": it.part, "score": round(it.score, 4)} for it in understood.symptoms]
    return {
        "recognised": understood.recognised,
        "symptoms": symptoms,
        "told": sorted(understood.told),
        "unrecognised": understood.unrecognised,
        "say_instead": understood.why_not,
    }


def _plain(text: str, found: dict[str, Any]) -> str:
    if not found["recognised"]:
        return f"Not recognised: {text}\n{found['say_instead'] or ''}".rstrip()
    lines = [
        f"{it['score']:.2f}  {it['id']}" + (f"  at {it['part']}" if it["part"] else "") for it in found["symptoms"]
    ]
    return "\n".join(lines)
