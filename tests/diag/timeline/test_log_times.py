"""Times of a log: by the clock, with offsets, and in the hours of change."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from diag.timeline.clock import zone_info
from diag.timeline.log_times import BadLogTime, LogTimes


def read(*texts: str) -> list[str]:
    times = LogTimes(zone_info("Europe/London"))
    return [f"{times.read(text):%H:%M}" for text in texts]


def test_times_are_read_by_the_clock_of_the_site() -> None:
    assert read("2026-01-04 10:05", "2026-05-04T10:05:30") == ["10:05", "09:05"]


def test_an_offset_counts_whatever_the_clock_of_the_site() -> None:
    assert read("2026-05-04T10:05+02:00", "2026-05-04T10:05Z") == ["08:05", "10:05"]


def test_a_time_that_comes_twice_is_the_first_until_the_lines_go_back() -> None:
    times = LogTimes(zone_info("Europe/London"))
    found = [times.read(f"2026-10-25 {text}") for text in ("00:59", "01:10", "01:50", "01:05", "01:50", "02:00")]

    assert [f"{it:%H:%M}" for it in found] == ["23:59", "00:10", "00:50", "01:05", "01:50", "02:00"]
    assert times.read_as_second == 2


def test_a_time_that_never_came_is_refused_and_its_neighbours_are_not() -> None:
    assert read("2026-03-29 00:59:59", "2026-03-29 02:00") == ["00:59", "01:00"]
    with pytest.raises(BadLogTime, match="never came"):
        read("2026-03-29 01:30")


def test_a_line_earlier_than_the_one_above_is_refused() -> None:
    with pytest.raises(BadLogTime, match="in order"):
        read("2026-05-04 10:05", "2026-05-04 10:04")


@pytest.mark.parametrize(
    "text", ["", "10:05", "04/05/2026 10:05", "2026-05-04", "2026-02-30 10:00", "2026-05-04 24:10"]
)
def test_what_is_no_full_time_is_refused_with_the_form(text: str) -> None:
    with pytest.raises(BadLogTime, match="2026-05-04 10:05"):
        read(text)


def test_half_hour_changes_are_read_right() -> None:
    """Lord Howe Island changes its clock by half an hour."""
    times = LogTimes(zone_info("Australia/Lord_Howe"))

    assert times.read("2026-04-05 01:20") == datetime(2026, 4, 4, 14, 20, tzinfo=UTC)
    assert times.read("2026-04-05 01:45") == datetime(2026, 4, 4, 14, 45, tzinfo=UTC)
    assert times.read("2026-04-05 01:35") == datetime(2026, 4, 4, 15, 5, tzinfo=UTC)
