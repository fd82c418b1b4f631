"""Times somebody asks about are read by the site's clock."""

from __future__ import annotations

import pytest

from diag.errors import BadTime
from diag.timeline.asked_times import read_moment
from tests.diag.timeline.told import at, events, medium


@pytest.mark.parametrize("text", ["10:20", "2026-05-04 10:20", "2026-05-04T10:20", "2026-05-04T09:20+00:00"])
def test_a_time_of_day_belongs_to_the_first_day_of_the_log(text: str) -> None:
    plan = medium()

    assert read_moment(plan, text, events(plan, "10:05,sw-n,open")) == at(plan, "10:20")


@pytest.mark.parametrize("text", ["", "soon", "25:00", "2026-02-30 10:00", "0001-01-01 00:00+14:00"])
def test_what_is_no_time_is_refused_with_how_to_write_one(text: str) -> None:
    with pytest.raises(BadTime, match="write it as 2024-05-31T10:20 or 10:20"):
        read_moment(medium(), text, [])
