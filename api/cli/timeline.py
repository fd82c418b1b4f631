"""`ventsleuth timeline`: what commanded each zone and when, from a site and a log of events."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from pathlib import Path

import click

from api.cli.plain import print_wrapped
from api.cli.sites import open_site
from diag.errors import DiagError, UnknownPart
from diag.timeline.asked_times import read_moment
from diag.timeline.assumptions import about_times, assumptions
from diag.timeline.chart_svg import draw
from diag.timeline.command import Command, Timeline
from diag.timeline.events import EVENTS, LogEvent
from diag.timeline.log_columns import COLUMNS
from diag.timeline.log_csv import LogReader
from diag.timeline.names import capital, clock_of, day_of, name_of
from diag.timeline.plain_data import timeline_data
from diag.timeline.plan import Plan
from diag.timeline.play import play
from diag.timeline.prepare import prepare
from diag.timeline.sentences import tell, tell_due
from diag.timeline.standing import array_at, written_at
from diag.timeline.table import set_out, table_rows

SHOWN_FAULTS = 50
FAULTY = 1


class UnreadableLog(DiagError):
    """A log that is not there or is no text."""

    def __init__(self, path: str, reason: str) -> None:
        self.found = path
        super().__init__(f'The log "{path}" cannot be read: {reason}.')


@click.command("timeline")
@click.argument("site_name", metavar="SITE")
@click.argument("log", metavar="LOG", required=False)
@click.option(
    "--from",
    "start_text",
    metavar="TIME",
    help="Show from here: 10:20 on the log's first day, or date and time.",
)
@click.option("--until", "until_text", metavar="TIME", help="Show until here; an hour after the last line if left out.")
@click.option("--zone", "zones", multiple=True, metavar="ID", help="Only this zone; repeatable.")
@click.option(
    "--as", "form", type=click.Choice(["text", "table", "svg", "json"]), default="text", help="What to print."
)
@click.option("--levels", "levels_text", metavar="TIME", help="Print the 16 command levels of each zone at this time.")
@click.option("--skip-bad-lines", is_flag=True, help="Report bad lines and play the others.")
@click.option("--columns", "show_columns", is_flag=True, help="Explain the columns of a log and stop.")
def command(
    site_name: str,
    log: str | None,
    start_text: str | None,
    until_text: str | None,
    zones: tuple[str, ...],
    form: str,
    levels_text: str | None,
    skip_bad_lines: bool,
    show_columns: bool,
) -> None:
    """Tell what commanded each zone of SITE, since when and why, and what was refused, from the CSV file LOG.

    LOG may be - for standard input.
    """
    if show_columns:
        _explain_columns()
        return
    if log is None:
        raise click.UsageError("Name a log file, or use --columns to see what goes into one.")
    plan = prepare(open_site(site_name))
    if not plan.zones:
        raise click.UsageError(f"{plan.site.name} describes no zones, so nothing can be played.")
    shown = _shown(plan, zones)
    reader = LogReader(plan)
    events = _events(reader, log, skip_bad_lines)
    if levels_text:
        _print_levels(plan, events, read_moment(plan, levels_text, events), shown)
        return
    start, until = (read_moment(plan, it, events) if it else None for it in (start_text, until_text))
    if start and until and until <= start:
        raise click.UsageError("--until has to be later than --from.")
    _print(plan, play(plan, events, start, until), shown, form, reader)


def _explain_columns() -> None:
    for name, says in COLUMNS.items():
        print_wrapped(f"{name}: {says}.", "    ")
    click.echo("\nEvents")
    for name, says in EVENTS.items():
        print_wrapped(f"  {name}: {says}.", "    ")


def _shown(plan: Plan, zones: Sequence[str]) -> list[str]:
    for zone in zones:
        if zone not in plan.zones:
            raise UnknownPart(zone, plan.zones)
    return list(zones or plan.zones)


def _events(reader: LogReader, log: str, skip: bool) -> list[LogEvent]:
    """Return the events of a log; bad lines are told on the error output and end the command unless skipped."""
    events, faults = [], 0
    for it in reader.read(_lines(log)):
        if isinstance(it, LogEvent):
            events.append(it)
            continue
        faults += 1
        if faults <= SHOWN_FAULTS:
            click.echo(f"{log}: {it}", err=True)
    if faults > SHOWN_FAULTS:
        click.echo(f"{log}: {faults - SHOWN_FAULTS} more lines cannot be read.", err=True)
    if faults and not skip:
        click.echo("Mend these lines, or play the others with --skip-bad-lines.", err=True)
        raise click.exceptions.Exit(FAULTY)
    return events


def _lines(log: str) -> Iterator[str]:
    try:
        if log == "-":
            yield from sys.stdin
            return
        with Path(log).open(encoding="utf-8-sig", newline="") as file:
            yield from file
    except UnicodeDecodeError:
        raise UnreadableLog(log, "it is not UTF-8 text; save it as CSV in UTF-8") from None
    except OSError as error:
        raise UnreadableLog(log, error.strerror or type(error).__name__) from error


def _print(plan: Plan, timeline: Timeline, zones: Sequence[str], form: str, reader: LogReader) -> None:
    notes = [*assumptions(plan, timeline), *about_times(reader.times)]
    if form == "svg":
        click.echo(draw(plan, timeline, zones), nl=False)
    elif form == "json":
        click.echo(json.dumps(timeline_data(plan, timeline, zones, notes), indent=2, ensure_ascii=False))
    elif form == "table":
        click.echo(set_out(table_rows(plan, timeline, zones)))
    else:
        for zone in zones:
            _print_zone(plan, timeline, zone)
    if form in ("text", "table") and notes:
        click.echo("\nTaken for granted")
        for note in notes:
            print_wrapped(f"  {note}", "  ")


def _print_zone(plan: Plan, timeline: Timeline, zone: str) -> None:
    click.echo(f"\n{capital(name_of(plan, zone))}")
    day = ""
    for line in tell(plan, timeline, zone):
        if (now := day_of(plan, line.at)) != day:
            day = now
            click.echo(f" {day}")
        print_wrapped(f"  {clock_of(plan, line.at)} {line.says}", "        ")
    print_wrapped(f"  {tell_due(plan, timeline, zone)}", "        ")


def _print_levels(plan: Plan, events: Iterable[LogEvent], at: datetime, zones: Sequence[str]) -> None:
    played = list(events)
    for zone in zones:
        click.echo(f"\n{capital(name_of(plan, zone))}, {day_of(plan, at)}, {clock_of(plan, at)}")
        rows = []
        for slot in array_at(plan, played, at, zone):
            it = slot.command
            action = "-" if it is None else "none (hold-off)" if it.is_spent else it.action
            by = name_of(plan, it.source) if it else ""
            refused = f"refused by {name_of(plan, slot.refused_by)}" if slot.refused_by else ""
            rows.append((str(slot.level), slot.name, action, by, refused))
        click.echo(set_out(rows, ("Level", "Name", "Command", "By", "")))
        _print_writes(plan, written_at(plan, played, at, zone))


def _print_writes(plan: Plan, writes: Sequence[Command | None]) -> None:
    """Print at which priority the building link wrote, where it wrote anything."""
    said = [f"{level} {it.action} ({name_of(plan, it.source)})" for level, it in enumerate(writes, 1) if it]
    if said:
        click.echo(f"Written on the building link, by priority: {', '.join(said)}.")
