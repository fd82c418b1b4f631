"""Read an event log in CSV: every line becomes an event or a fault with its number and what is allowed."""

from __future__ import annotations

import csv
import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime

from diag.timeline.events import EVENTS, LogEvent
from diag.timeline.levels import LEVELS
from diag.timeline.log_columns import (
    COLUMNS,
    NEEDED,
    PROGRAMMES_PLAY_THEMSELVES,
    allowed_events,
    names_of_sources,
    names_of_zones,
)
from diag.timeline.log_times import BadLogTime, LogTimes
from diag.timeline.plan import Plan
from diag.timeline.targets import find_target
from knowledge.faults import nearest, quoted

UNITS = ("m/s", "mm/h", "ppm", "°C", "C", "%", "s")
WRITTEN = ("open", "close", "stop")
DELIMITERS = ",;\t"
COMMENT = "#"
WHOLE_LINE = "line"
"""Named instead of a column when the line itself cannot be read."""


@dataclass(frozen=True, slots=True)
class BadLine:
    """A line that cannot be played: its number from 1, the column, and what to do about it."""

    line: int
    column: str
    message: str

    def __str__(self) -> str:
        place = "" if self.column == WHOLE_LINE else f", {self.column}"
        return f"line {self.line}{place}: {self.message}."


class BadCell(ValueError):
    """A cell that cannot be read; `column` names it and the text says why."""

    def __init__(self, column: str, message: str) -> None:
        self.column = column
        super().__init__(message)


class LogReader:
    """Reads one log for one site; afterwards `times` tells how unsure times were read."""

    __slots__ = ("_sources", "_spoken", "_zones", "plan", "times")

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.times = LogTimes(plan.time_zone)
        self._sources = names_of_sources(plan)
        self._zones = names_of_zones(plan)
        self._spoken: dict[tuple[str, str, str], tuple[str, str | None]] = {}

    def read(self, lines: Iterable[str]) -> Iterator[LogEvent | BadLine]:
        """Yield an event or a fault for each line but the header, empty lines and comments, in their order."""
        stream = iter(lines)
        header = next(stream, "").lstrip("\ufeff")
        delimiter = max(DELIMITERS, key=header.count)
        columns = [it.strip(' "\r\n').casefold() for it in header.split(delimiter)]
        faults = [BadLine(1, "header", it) for it in _header_faults(columns)]
        yield from faults
        if faults:
            return
        places = {name: columns.index(name) if name in columns else None for name in COLUMNS}
        order = [places[name] for name in COLUMNS]
        for number, line in enumerate(stream, 2):
            if line.isspace() or line.startswith(COMMENT):
                continue
            try:
                yield self._event(_row(line, delimiter, len(columns), order))
            except BadCell as fault:
                yield BadLine(number, fault.column, str(fault))

    def _event(self, row: list[str]) -> LogEvent:
        """Return the event of one line, its cells in the order of COLUMNS; raise BadCell for the first fault."""
        time_text, source_text, event, value, zone_text, priority = row
        event = event.casefold()
        spoken = source_text, event, zone_text
        if spoken not in self._spoken:
            self._spoken[spoken] = self._check(*spoken)
        source, zone = self._spoken[spoken]
        level = _read_priority(priority, self._is_link(source)) if priority else None
        if event == "write" and value.casefold() in WRITTEN:
            return LogEvent(self._time(time_text), source, value.casefold(), None, zone, level)
        number = _read_value(value, event)
        return LogEvent(self._time(time_text), source, event, number, zone, level)

    def _is_link(self, source: str) -> bool:
        it = self.plan.inputs.get(source)
        return it.command_class == "link" if it else source == "link"

    def _time(self, text: str) -> datetime:
        try:
            return self.times.read(text)
        except BadLogTime as fault:
            raise BadCell("time", f"found {quoted(text)}; {fault}") from None

    def _check(self, source_text: str, event: str, zone_text: str) -> tuple[str, str | None]:
        """Return the ids meant by source and zone; raise BadCell for names not known and events not allowed."""
        source = _find(source_text, self._sources, "source", COLUMNS["source"])
        zone = (
            _find(zone_text, self._zones, "zone", "leave it empty for all zones of the source") if zone_text else None
        )
        allowed = allowed_events(self.plan, source)
        if not allowed:
            raise BadCell("source", f"{quoted(source)}: {PROGRAMMES_PLAY_THEMSELVES}")
        if event not in allowed:
            known = "" if event in EVENTS else _like(nearest(event, EVENTS))
            raise BadCell("event", f"found {quoted(event)}{known}; {source} may have {', '.join(allowed)}")
        zones = find_target(self.plan, source, None, self.plan.zones).zones
        if zone and zone not in zones:
            raise BadCell("zone", f"{quoted(zone)} is no zone of {source}; it has {', '.join(zones) or 'none'}")
        if not zones:
            raise BadCell("source", f"{quoted(source)} reaches no zone; describe its zones in the site file")
        return source, zone


def _header_faults(columns: list[str]) -> Iterator[str]:
    missing = [name for name in NEEDED if name not in columns]
    if missing:
        yield f"{', '.join(missing)} missing; the first line names the columns: {', '.join(COLUMNS)}"
    for name in columns:
        if name and name not in COLUMNS:
            yield f"no column {quoted(name)} is known{_like(nearest(name, COLUMNS))}; there is {', '.join(COLUMNS)}"
    for name in COLUMNS:
        if columns.count(name) > 1:
            yield f"{name} is there twice; take one out"


def _like(names: Iterable[str]) -> str:
    found = " or ".join(names)
    return f" (perhaps {found})" if found else ""


def _row(line: str, delimiter: str, width: int, order: list[int | None]) -> list[str]:
    cells = _cells(line, delimiter)
    if len(cells) > width and any(cells[width:]):
        raise BadCell(
            WHOLE_LINE,
            f"it has {len(cells)} cells, the header {width}; put a cell that holds {delimiter} in quotes",
        )
    cells += [""] * (width - len(cells))
    return ["" if place is None else cells[place] for place in order]


def _cells(line: str, delimiter: str) -> list[str]:
    if '"' not in line:
        return [it.strip() for it in line.split(delimiter)]
    try:
        return [it.strip() for it in next(csv.reader((line,), delimiter=delimiter, strict=True), [])]
    except csv.Error:
        raise BadCell(WHOLE_LINE, "its quotation marks do not pair; double those inside a cell") from None


def _find(text: str, names: Mapping[str, str], column: str, allowed: str) -> str:
    if not text:
        raise BadCell(column, f"it is empty; allowed: {allowed}")
    found = names.get(text) or names.get(text.casefold())
    if found is None:
        raise BadCell(column, f"nothing is called {quoted(text)}{_like(nearest(text, names))}; allowed: {allowed}")
    return found


def _read_priority(text: str, is_link: bool) -> int:
    if not is_link:
        raise BadCell("priority", f"found {quoted(text)}; leave it empty, it belongs to what a building link writes")
    if not text.isdecimal() or int(text) not in LEVELS:
        raise BadCell("priority", f"found {quoted(text)}; allowed: {COLUMNS['priority']}")
    return int(text)


def _read_value(text: str, event: str) -> float | None:
    if not text:
        if event in ("reading", "write"):
            raise BadCell("value", f"it is empty; a {event} needs one: {COLUMNS['value']}")
        return None
    number = _number(text)
    if number is None:
        raise BadCell("value", f"found {quoted(text)}; allowed: {COLUMNS['value']}")
    if event == "write" and not 0 <= number <= 100:
        raise BadCell("value", f"found {quoted(text)}; allowed: 0 to 100 %")
    if event in ("open", "close") and number < 0:
        raise BadCell("value", f"found {quoted(text)}; seconds pressed cannot be below 0")
    return number


def _number(text: str) -> float | None:
    """Return a number with or without a unit; a comma may stand for the decimal point."""
    for unit in UNITS:
        if text.endswith(unit):
            text = text[: -len(unit)].rstrip()
            break
    try:
        number = float(text.replace(",", ".", 1))
    except ValueError:
        return None
    return number if math.isfinite(number) else None
