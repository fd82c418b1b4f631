"""Replay what commanded each zone of a site over HTTP: POST /v1/timelines."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from io import StringIO
from typing import Annotated, Any

from fastapi import APIRouter, Body, Depends
from fastapi.exceptions import RequestValidationError
from pydantic import Field, model_validator

from api.dependencies import ServiceDep
from api.schemas import Id, In, ProblemOut, Short
from api.strict_query import refuse_unknown_query
from api.timeline_report import TimelineOut, describe_timeline
from api.who import needs
from diag.errors import BadTime, UnknownPart
from diag.timeline.asked_times import read_moment
from diag.timeline.assumptions import about_times, assumptions
from diag.timeline.command import Timeline
from diag.timeline.events import LogEvent
from diag.timeline.log_columns import COLUMNS
from diag.timeline.log_csv import BadLine, LogReader
from diag.timeline.plan import Plan
from diag.timeline.play import play
from diag.timeline.prepare import prepare

MOST_DAYS = 400
SHOWN_FAULTS = 50
LOG = "time,source,event\n2026-05-04 10:05,sw-n,open\n2026-05-04 10:20,th1,on\n"
EXAMPLES: dict[str, Any] = {
    "log": {"summary": "A stored site and its log as CSV", "value": {"site": "medium", "log": LOG}},
    "events": {
        "summary": "What somebody remembers, one zone, with the chart",
        "value": {
            "site": "medium",
            "events": [
                {"time": "2026-05-04 10:05", "source": "sw-n", "event": "open"},
                {"time": "2026-05-04 10:20", "source": "th1", "event": "reading", "value": 26.5},
            ],
            "zones": ["zn"],
            "until": "11:00",
            "chart": True,
        },
    },
}

router = APIRouter(
    prefix="/v1",
    dependencies=[Depends(refuse_unknown_query), Depends(needs("diagnose"))],
    responses={"default": {"model": ProblemOut, "description": "What was wrong, by field."}},
)


class LogEventIn(In):
    """One event, its fields as the columns of a log."""

    time: Short = Field(description=COLUMNS["time"])
    source: Short = Field(description=COLUMNS["source"])
    event: Short = Field(description=COLUMNS["event"])
    value: Short | float | None = Field(default=None, description=COLUMNS["value"])
    zone: Short | None = Field(default=None, description=COLUMNS["zone"])
    priority: int | None = Field(default=None, description=COLUMNS["priority"])


class TimelineIn(In):
    """A site and what happened on it: a log as CSV, or events one by one, in order of time."""

    site: Id | dict[str, Any] = Field(description="Id of a stored site, or a description inline.")
    log: str | None = Field(default=None, description="The log as CSV text, its columns named in the first line.")
    events: list[LogEventIn] | None = Field(default=None, description="The events, where there is no log.")
    zones: list[Id] | None = Field(default=None, description="Only these zones; all if left out.")
    start: Short | None = Field(default=None, description="Show from here: 10:20 on the first day, or date and time.")
    until: Short | None = Field(default=None, description="Show until here; an hour after the last event if left out.")
    chart: bool = Field(default=False, description="Draw the chart as SVG too.")

    @model_validator(mode="after")
    def _one_of_both(self) -> TimelineIn:
        if (self.log is None) == (self.events is None):
            raise ValueError("give either a log or events")
        return self


@router.post("/timelines", tags=["sites"])
def create_timeline(
    request: Annotated[TimelineIn, Body(openapi_examples=EXAMPLES)], service: ServiceDep
) -> TimelineOut:
    """Tell what commanded each zone, since when and why, what was refused, and what comes next. Nothing is stored."""
    plan = prepare(service.shelf.site(request.site if isinstance(request.site, str) else dict(request.site)))
    if not plan.zones:
        raise _refused([(("site", "zones"), f"{plan.site.name} describes no zones, so nothing can be played")])
    zones = _shown(plan, request.zones)
    reader = LogReader(plan)
    events = _events(reader, request)
    timeline = _played(plan, events, request)
    notes = (*assumptions(plan, timeline), *about_times(reader.times))
    return describe_timeline(plan, timeline, zones, notes, request.chart)


def _shown(plan: Plan, zones: Sequence[str] | None) -> list[str]:
    for zone in zones or ():
        if zone not in plan.zones:
            raise UnknownPart(zone, plan.zones)
    return list(dict.fromkeys(zones or plan.zones))


def _events(reader: LogReader, request: TimelineIn) -> list[LogEvent]:
    """Return all events, or raise RequestValidationError that tells every line that cannot be read."""
    lines = StringIO(request.log, newline="") if request.events is None else _as_lines(request.events)
    found = list(reader.read(lines))
    faults = [it for it in found if isinstance(it, BadLine)]
    if faults:
        told = [(_place(it, request), it.message) for it in faults[:SHOWN_FAULTS]]
        left = len(faults) - len(told)
        raise _refused([*told, *([(("log",), f"{left} more lines cannot be read")] if left else [])])
    return [it for it in found if isinstance(it, LogEvent)]


def _as_lines(events: Sequence[LogEventIn]) -> Iterator[str]:
    """Yield the events as lines of a log, the header first, so that both are read alike."""
    yield _line(list(COLUMNS))
    for it in events:
        yield _line(["" if cell is None else cell for cell in (getattr(it, name) for name in COLUMNS)])


def _line(cells: Sequence[object]) -> str:
    text = StringIO()
    csv.writer(text, quoting=csv.QUOTE_ALL).writerow(cells)
    return text.getvalue()


def _place(fault: BadLine, request: TimelineIn) -> tuple[str | int, ...]:
    if request.events is None:
        return ("log", f"line {fault.line}", fault.column)
    return ("events", fault.line - 2, fault.column)


def _played(plan: Plan, events: Sequence[LogEvent], request: TimelineIn) -> Timeline:
    start, until = _time(plan, request, "start", events), _time(plan, request, "until", events)
    if not events and (start is None or until is None):
        raise _refused([(("until",), "nothing happened, so say from when until when to show")])
    moments = [it for it in (start, until, *(event.at for event in events)) if it]
    if max(moments) - min(moments) > timedelta(days=MOST_DAYS):
        raise _refused([(("until",), f"more than {MOST_DAYS} days cannot be played at once; send less of the log")])
    if until and until <= (start or min(moments)):
        raise _refused([(("until",), "it has to be later than the start")])
    return play(plan, events, start, until)


def _time(plan: Plan, request: TimelineIn, field: str, events: Sequence[LogEvent]) -> datetime | None:
    text = getattr(request, field)
    try:
        return read_moment(plan, text, events) if text else None
    except BadTime as error:
        raise _refused([((field,), str(error))]) from None


def _refused(faults: Sequence[tuple[tuple[str | int, ...], str]]) -> RequestValidationError:
    return RequestValidationError(
        [{"loc": ("body", *place), "msg": says, "type": "timeline"} for place, says in faults]
    )
