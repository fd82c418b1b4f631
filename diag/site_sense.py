"""Find values of a site description that contradict each other or the calendar."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from zoneinfo import ZoneInfo, available_timezones

from diag.site_parts import Data, number_at, parts, text_at
from knowledge.faults import Problem, nearest, quoted, suggestion

NOT_ABOVE = (
    ("drives", "min_voltage_v", "supply_voltage_v"),
    ("drives", "supply_voltage_v", "max_voltage_v"),
    ("drives", "min_voltage_v", "max_voltage_v"),
    ("inputs", "range_low", "range_high"),
)
"""Fields of which the first is at most the second."""

SPANS = (("from_day", "until_day"), ("from_time", "until_time"))
DATED = ("controllers", "outputs", "drives", "openings", "junctions", "cables", "inputs", "links", "fans")
LEAP_YEAR = 2024


def sense_problems(data: Data) -> list[Problem]:
    """Return every contradiction between values."""
    spans = [problem for section in ("lockouts", "schedules") for problem in _span_problems(data, section)]
    return [
        *_order_problems(data),
        *_date_problems(data),
        *spans,
        *_battery_problems(data),
        *_link_problems(data),
        *_precedence_problems(data),
        *_zone_name_problems(data),
    ]


def _order_problems(data: Data) -> Iterator[Problem]:
    for section, low, high in NOT_ABOVE:
        for part, fields in parts(data, section):
            low_value, high_value = number_at(fields, low), number_at(fields, high)
            if low_value is not None and high_value is not None and low_value > high_value:
                message = f"{low} {low_value:g} is above {high} {high_value:g}; mend one of them"
                yield Problem((section, part, low), message, f"{low_value:g}", (f"at most {high_value:g}",))


def _date_problems(data: Data) -> Iterator[Problem]:
    for section in DATED:
        for part, fields in parts(data, section):
            installed, replaced = text_at(fields, "installed"), text_at(fields, "replaced")
            if installed and replaced and replaced < installed:
                message = f"replaced on {replaced}, before it was installed on {installed}; mend one of them"
                yield Problem((section, part, "replaced"), message, replaced, (f"{installed} or later",))


def _span_problems(data: Data, section: str) -> Iterator[Problem]:
    for part, fields in parts(data, section):
        for start, end in SPANS:
            if (fields.get(start) is None) != (fields.get(end) is None):
                given, absent = (start, end) if fields.get(end) is None else (end, start)
                yield Problem((section, part, given), f"{given} needs {absent} beside it; add it", is_absence=True)
        if text_at(fields, "from_time") and fields["from_time"] == fields.get("until_time"):
            message = "from_time and until_time are the same; leave both out for the whole day"
            yield Problem((section, part, "until_time"), message, fields["from_time"])
        for field in ("from_day", "until_day"):
            yield from _calendar_problem((section, part, field), text_at(fields, field))


def _calendar_problem(path: tuple[str, str, str], day: str | None) -> Iterator[Problem]:
    if day is None:
        return
    try:
        date.fromisoformat(f"{LEAP_YEAR}-{day}")
    except ValueError:
        if day[:2] in ("02", "04", "06", "09", "11"):  # other wrong forms are faults of shape
            yield Problem(path, f"found {quoted(day)}; that month has no such day", day)


def _battery_problems(data: Data) -> Iterator[Problem]:
    for part, fields in parts(data, "controllers"):
        supply = fields.get("supply")
        if isinstance(supply, dict) and supply.get("has_battery") is False and supply.get("battery") is not None:
            message = "has_battery is false, yet a battery is described; take one of them out"
            yield Problem(("controllers", part, "supply", "has_battery"), message, "false")


def _link_problems(data: Data) -> Iterator[Problem]:
    for part, fields in parts(data, "inputs"):
        if fields.get("link") is not None and text_at(fields, "kind") not in (None, "link"):
            message = f"only an input of kind link names a link; this one is of kind {fields['kind']}"
            yield Problem(("inputs", part, "link"), message, str(fields["link"]))


def _precedence_problems(data: Data) -> Iterator[Problem]:
    precedence = data.get("precedence")
    seen: set[str] = set()
    for index, name in enumerate(precedence if isinstance(precedence, list) else ()):
        if not isinstance(name, str):
            continue
        if name in seen:
            yield Problem(("precedence", index), f"{quoted(name)} is listed twice; take one out", name)
        seen.add(name)


def _zone_name_problems(data: Data) -> Iterator[Problem]:
    name = text_at(data, "time_zone")
    if name is None or _is_time_zone(name):
        return
    known = available_timezones()
    if known:  # a machine without the database cannot judge the name
        close = nearest(name, sorted(known))
        yield Problem(("time_zone",), f"no time zone {quoted(name)} is known{suggestion(close)}", name, (), close)


def _is_time_zone(name: str) -> bool:
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return False
    return True
