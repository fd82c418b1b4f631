"""Ticks at round times, on days of clock change as well."""

from __future__ import annotations

from datetime import timedelta

import pytest

from diag.timeline.chart_axis import share, ticks
from tests.diag.timeline.told import at, medium


def labels(start: str, end: str) -> list[str]:
    plan = medium()
    return [label for _, label in ticks(at(plan, start), at(plan, end), plan.time_zone)]


def test_ticks_are_at_round_times() -> None:
    assert labels("09:40", "11:30") == [
        "09:45",
        "10:00",
        "10:15",
        "10:30",
        "10:45",
        "11:00",
        "11:15",
        "11:30",
    ]


@pytest.mark.parametrize("minutes", [1, 7, 45, 100, 600, 3000, 20_000, 300_000, 3_000_000])
def test_there_are_never_more_than_a_dozen(minutes: int) -> None:
    plan = medium()
    start = at(plan, "09:41")

    assert 1 <= len(ticks(start, start + timedelta(minutes=minutes), plan.time_zone)) <= 12


def test_the_repeated_hour_has_two_ticks_and_the_skipped_one_none() -> None:
    autumn = labels("2026-10-25 00:00", "2026-10-25 04:00")
    spring = labels("2026-03-29 00:00", "2026-03-29 04:00")

    assert [it for it in autumn if it.startswith("01:00")] == ["01:00 BST", "01:00 GMT"]
    assert [it for it in spring if it.startswith("01:")] == []


def test_days_are_labelled_by_date() -> None:
    assert labels("2026-05-04 12:00", "2026-05-12 12:00")[:2] == ["5 May", "6 May"]


def test_a_moment_lies_where_its_share_of_the_time_is() -> None:
    plan = medium()

    assert share(at(plan, "10:15"), at(plan, "10:00"), at(plan, "11:00")) == 0.25
    assert share(at(plan, "09:00"), at(plan, "10:00"), at(plan, "10:00")) == 0.0
