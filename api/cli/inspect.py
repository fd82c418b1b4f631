"""`ventsleuth inspect`: find the faults of a site description before power-up."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

import click

from api.cli.sites import open_site
from api.inspection_report import describe_inspection
from diag.demo import FILES, demo_path
from diag.inspection.findings import SEVERITIES, Inspection
from diag.inspection.run import Inspector, inspect, open_inspector
from diag.inspection.sarif import sarif_log
from diag.inspection.text_report import text_report
from diag.site import Site
from knowledge.inspection_entries import Severity
from knowledge.load import load_cautions, load_version
from knowledge.located import Located, read_located_file

FOUND = 1


@dataclass(frozen=True)
class Opened:
    """A site with the file it was read from, and the name of that file to show; neither for a built site."""

    site: Site
    located: Located | None
    artifact: str | None


@click.command("inspect")
@click.argument("site")
@click.option("--format", "form", type=click.Choice(["text", "json", "sarif"]), default="text", show_default=True)
@click.option(
    "--fail-on",
    type=click.Choice(SEVERITIES),
    default="error",
    show_default=True,
    help="End with exit code 1 when there is a finding as bad as this or worse.",
)
@click.option(
    "--on", "day", type=click.DateTime(["%Y-%m-%d"]), help="The day of the inspection, for ages; today if left out."
)
def command(site: str, form: str, fail_on: Severity, day: datetime | None) -> None:
    """Inspect a site FILE or demo name before power-up: faults, figures, remedies, and the standard behind each."""
    opened = _open(site)
    inspector = open_inspector()
    inspection = inspect(inspector, opened.site, day.date() if day else date.today(), opened.located)
    click.echo(_written(form, inspector, inspection, opened, site))
    if inspection.fails(fail_on):
        raise click.exceptions.Exit(FOUND)


def _open(name: str) -> Opened:
    site = open_site(name)
    if Path(name).exists():
        return Opened(site, read_located_file(Path(name)), _relative(Path(name)))
    if name in FILES:
        return Opened(site, read_located_file(demo_path(name)), demo_path(name).name)
    return Opened(site, None, None)


def _relative(path: Path) -> str:
    """Return the path as seen from here, or its name when it lies elsewhere: no one else's folders matter."""
    try:
        return path.resolve().relative_to(Path.cwd()).as_posix()
    except ValueError:
        return path.name


def _written(form: str, inspector: Inspector, inspection: Inspection, opened: Opened, name: str) -> str:
    if form == "json":
        return describe_inspection(inspection, load_version()).model_dump_json(indent=2)
    if form == "sarif":
        log = sarif_log(inspection, inspector.inspections.rules, load_version(), opened.artifact)
        return json.dumps(log, indent=2, ensure_ascii=False)
    return text_report(inspection, opened.artifact or name, load_cautions())
