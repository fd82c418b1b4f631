"""Logs in CSV: what is understood, and what each bad line is told."""

from __future__ import annotations

import pytest

from diag.timeline.events import LogEvent
from diag.timeline.log_csv import BadLine, LogReader
from tests.diag.timeline.told import at, medium, plan_of

HEADER = "time,source,event,value,zone,priority\n"
T = "2026-05-04 10:05"


def read(*lines: str, header: str = HEADER) -> list[LogEvent | BadLine]:
    return list(LogReader(medium()).read([header, *(f"{line}\n" for line in lines)]))


def test_a_line_becomes_an_event_with_the_ids_of_the_site() -> None:
    moment = at(medium(), "10:05")

    assert read(f"{T},North Switch,OPEN,1.2 s,north room,") == [LogEvent(moment, "sw-n", "open", 1.2, "zn")]
    assert read(f"{T},anemometer,reading,12 m/s") == [LogEvent(moment, "wind", "reading", 12.0)]
    assert read(f"{T},bl1,write,0,zd,8") == [LogEvent(moment, "bl1", "write", 0.0, "zd", 8)]
    assert read(f"{T},bl1,write,close,zd,8") == [LogEvent(moment, "bl1", "close", None, "zd", 8)]


def test_a_command_class_stands_for_a_part_that_nobody_knows() -> None:
    assert read(f"{T},manual,open,,zn") == [LogEvent(at(medium(), "10:05"), "manual", "open", None, "zn")]


def test_columns_may_come_in_any_order_and_semicolons_with_decimal_commas() -> None:
    assert read(f"reading;th1;{T};24,5", header="Event;Source;Time;Value\n") == [
        LogEvent(at(medium(), "10:05"), "th1", "reading", 24.5)
    ]


def test_quotes_empty_lines_comments_and_a_byte_order_mark_are_no_trouble() -> None:
    found = read("# why", "", f'{T},th1,reading,"24,5"', "  ", header=f"\ufeff{HEADER}")

    assert found == [LogEvent(at(medium(), "10:05"), "th1", "reading", 24.5)]


@pytest.mark.parametrize(
    ("line", "column", "says"),
    [
        ("25:10,rain,on", "time", "2026-05-04 10:05"),
        (f"{T},rian,on", "source", "perhaps rain"),
        (f"{T},,on", "source", "empty"),
        (f"{T},sw-n,opne", "event", "perhaps open"),
        (f"{T},rain,write,open", "event", "rain may have on, off, reading"),
        (f"{T},th1,reading", "value", "reading needs one"),
        (f"{T},th1,reading,warm", "value", '"warm"'),
        (f"{T},th1,reading,nan", "value", '"nan"'),
        (f"{T},bl1,write,101", "value", "0 to 100"),
        (f"{T},sw-n,open,-1", "value", "below 0"),
        (f"{T},sw-n,open,,zs", "zone", "it has zn"),
        (f"{T},sw-n,open,,attic", "zone", '"attic"'),
        (f"{T},bl1,write,open,,17", "priority", "1 to 16"),
        (f"{T},rain,on,,,3", "priority", "leave it empty"),
        (f"{T},purge-on,open", "source", "time programmes"),
        (f"{T},schedule,open", "source", "time programmes"),
        (f"{T},th1,reading,24,5", "zone", '"5"'),
        (f"{T},th1,reading,24,5,zn,1,9", "line", "in quotes"),
        (f'{T},"th1,reading', "line", "quotation marks"),
    ],
)
def test_a_bad_line_is_told_with_its_number_and_what_is_allowed(line: str, column: str, says: str) -> None:
    found = read("# a comment", line)

    assert len(found) == 1
    fault = found[0]
    assert isinstance(fault, BadLine)
    assert (fault.line, fault.column) == (3, column)
    assert says in fault.message


def test_all_bad_lines_are_told_and_the_good_ones_between_them_are_read() -> None:
    found = read("x,rain,on", f"{T},rain,on", f"{T},rain,wet", f"{T},rain,off")

    assert [it.line if isinstance(it, BadLine) else it.event for it in found] == [2, "on", 4, "off"]


@pytest.mark.parametrize(
    ("header", "says"),
    [
        ("time,event\n", "source missing"),
        ("time,source,event,colour\n", '"colour"'),
        ("time,source,event,time\n", "twice"),
        ("", "time, source, event missing"),
    ],
)
def test_a_bad_header_is_told_and_no_line_is_read(header: str, says: str) -> None:
    found = read(f"{T},rain,on", header=header)

    assert [it.line for it in found if isinstance(it, BadLine)] == [1]
    assert says in str(found[0])


def test_a_source_that_reaches_no_zone_is_told() -> None:
    plan = plan_of("lockouts: {lo: {kind: rain}}\n")
    (fault,) = LogReader(plan).read([HEADER, f"{T},lo,on\n"])

    assert "describe its zones" in str(fault)


def test_a_fault_of_the_whole_line_names_no_column() -> None:
    assert str(BadLine(3, "line", "it has 4 cells")) == "line 3: it has 4 cells."
    assert str(BadLine(3, "time", "it is empty")) == "line 3, time: it is empty."
