"""`ventsleuth sheet`: the proving sheet of a site, its results form, and the results read back."""

from __future__ import annotations

import shlex
import sys
from collections.abc import Sequence
from datetime import date
from pathlib import Path

import click

from api.cli.plain import print_wrapped
from api.cli.sites import open_site
from api.sheet_pdf import print_pdf
from diag.errors import BadTime
from diag.reasoner import PreparedSite, prepare_site
from diag.sheet.build import proving_sheet
from diag.sheet.html import sheet_page
from diag.sheet.results import Result, decode_results, read_results, results_form
from diag.sheet.sheet import Sheet
from knowledge.load import Knowledge, load_knowledge

DIFFERENT = 1


@click.command("sheet")
@click.argument("site_name", metavar="SITE")
@click.option(
    "--format",
    "form",
    type=click.Choice(("html", "pdf", "csv")),
    default="html",
    show_default=True,
    help="The sheet as a page or as PDF, or the form for its results as CSV.",
)
@click.option("--output", "-o", type=click.Path(dir_okay=False, path_type=Path), help="Write to this file.")
@click.option(
    "--results",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="Read the results form filled in; says what differs, and ends with exit code 1 if something does.",
)
@click.option(
    "--on", "day", metavar="DATE", help="The day for the ages of parts, such as 2026-05-04; today if left out."
)
def command(site_name: str, form: str, output: Path | None, results: Path | None, day: str | None) -> None:
    """Make the proving sheet of a SITE file or demo: what to test, what to expect, what causes what."""
    knowledge = load_knowledge()
    prepared = prepare_site(open_site(site_name), _day(day))
    sheet = proving_sheet(knowledge, prepared)
    if results is not None:
        _tell_results(knowledge, prepared, sheet, results, site_name)
        return
    made = _made(sheet, form)
    if output is None and form == "pdf" and sys.stdout.isatty():
        raise click.UsageError("A PDF cannot be shown here; give a file with --output.")
    if output is None:
        click.echo(made, nl=False)
    else:
        output.write_bytes(made)
        click.echo(f"{len(sheet.rows)} tests of {sheet.site}: {output}")


def _day(text: str | None) -> date:
    try:
        return date.fromisoformat(text) if text else date.today()
    except ValueError:
        raise BadTime(text or "") from None


def _made(sheet: Sheet, form: str) -> bytes:
    if form == "csv":
        return results_form(sheet.rows).encode()
    page = sheet_page(sheet)
    return print_pdf(page) if form == "pdf" else page.encode()


def _tell_results(knowledge: Knowledge, prepared: PreparedSite, sheet: Sheet, results: Path, site_name: str) -> None:
    found = read_results(decode_results(results.read_bytes()), knowledge, prepared, sheet.rows)
    different = [it for it in found if it.has_passed is False]
    passed = sum(1 for it in found if it.has_passed)
    unclear = len(found) - passed - len(different)
    left = len(sheet.rows) - len({(it.finding.check, it.finding.part) for it in found} & _keys(sheet))
    click.echo(f"{passed} as expected, {len(different)} different, {unclear} not clear, {left} still to do.")
    for it in different:
        _tell_different(knowledge, prepared, it)
    if different:
        click.echo("\nTo go on from these, add the symptom that was noticed:")
        click.echo(f"  ventsleuth diagnose --site {shlex.quote(site_name)} --symptom ID {_options(different)}")
        raise click.exceptions.Exit(DIFFERENT)


def _keys(sheet: Sheet) -> set[tuple[str, str | None]]:
    return {(row.check, row.part) for row in sheet.rows}


def _tell_different(knowledge: Knowledge, prepared: PreparedSite, it: Result) -> None:
    part = it.finding.part or ""
    check = knowledge.checks[it.finding.check]
    name = prepared.topology.name(part)
    where = part if name == part else f"{name} ({part})"
    click.echo()
    print_wrapped(f"{check.name}, {where}: {it.typed}. {it.means}", "  ")
    if it.note:
        print_wrapped(f"  Note: {it.note}", "  ")


def _options(results: Sequence[Result]) -> str:
    found = (it.finding for it in results)
    return " ".join(f"--finding {shlex.quote(f'{it.check}@{it.part}={it.outcome}')}" for it in found)
