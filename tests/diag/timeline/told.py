"""Short ways to say what happened on a site, and to ask what stood."""

from __future__ import annotations

from datetime import datetime
from functools import cache

from diag.demo import load_demo
from diag.site_file import read_site
from diag.timeline.clock import moment
from diag.timeline.command import Timeline
from diag.timeline.events import LogEvent
from diag.timeline.log_csv import LogReader
from diag.timeline.names import clock_of
from diag.timeline.plan import Plan
from diag.timeline.play import play
from diag.timeline.prepare import prepare

MAY = "2026-05-04"


@cache
def medium() -> Plan:
    """Return the medium demo site, ready."""
    return prepare(load_demo("medium"))


def plan_of(text: str) -> Plan:
    """Return a site of one zone, z1, with what the text adds to its description."""
    zones = "" if text.startswith("zones:") else "zones: {z1: {hold_off_minutes: 30}}\n"
    return prepare(read_site(f"name: test\n{zones}{text}"))


def at(plan: Plan, text: str, day: str = MAY) -> datetime:
    """Return the moment of a time of day, or of a date and time, by the site's clock."""
    return moment(datetime.fromisoformat(text if len(text) > 10 else f"{day} {text}"), plan.time_zone)


def events(plan: Plan, *lines: str, day: str = MAY) -> list[LogEvent]:
    """Return the events of log lines such as `10:05,sw-n,open`; a fault in them fails the test."""
    dated = [line if line[4:5] == "-" else f"{day} {line}" for line in lines]
    found = list(LogReader(plan).read(["time,source,event,value,zone,priority\n", *dated]))
    faults = [str(it) for it in found if not isinstance(it, LogEvent)]
    assert faults == []
    return [it for it in found if isinstance(it, LogEvent)]


def played(plan: Plan, *lines: str, day: str = MAY, until: str | None = None) -> Timeline:
    """Return the timeline of log lines."""
    return play(plan, events(plan, *lines, day=day), until=at(plan, until, day) if until else None)


def stood(plan: Plan, timeline: Timeline, zone: str = "z1") -> list[str]:
    """Return the spans of a zone as `10:05 open sw-n`; `nothing`, or `held by` for what moves nothing any more."""
    said = []
    for span in timeline.spans[zone]:
        it = span.command
        what = "nothing" if it is None else f"held by {it.source}" if it.is_spent else f"{it.action} {it.source}"
        once = " once" if span.start == span.end else ""
        said.append(f"{clock_of(plan, span.start)} {what}{once}")
    return said


def refused(plan: Plan, timeline: Timeline) -> list[str]:
    """Return the refusals as `10:22 open sw-n: lockout lo-rain`."""
    return [
        f"{clock_of(plan, it.at)} {it.command.action} {it.command.source}: {it.reason} {it.by}"
        for it in timeline.refusals
    ]
