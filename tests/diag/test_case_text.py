"""Short texts for symptoms, findings, commands and times."""

from __future__ import annotations

from datetime import date, datetime

import pytest

from diag.case_text import BadCaseText, read_event, read_finding, read_now, read_symptom, read_time
from diag.errors import BadTime
from diag.observations import THINK_SO, Event, Finding, Observed

NOON = datetime(2026, 5, 4, 12, 0)


def test_a_symptom_may_name_its_part() -> None:
    assert read_symptom("drive-dead@d1") == Observed("drive-dead", "d1")
    assert read_symptom("drive-dead") == Observed("drive-dead")


def test_a_finding_names_check_part_and_outcome_or_reading() -> None:
    assert read_finding("volts-drive@d1=22,8 V") == Finding("volts-drive", "22,8 V", "d1")


def test_a_tilde_behind_an_outcome_says_that_somebody_only_thinks_so() -> None:
    assert read_finding("volts-drive@d1=none~") == Finding("volts-drive", "none", "d1", THINK_SO)


@pytest.mark.parametrize("text", ["volts-drive", "=none", "volts-drive@d1=", "@d1=none", "volts-drive@d1=~"])
def test_half_a_finding_is_refused_with_the_form(text: str) -> None:
    with pytest.raises(BadCaseText, match="CHECK@PART=OUTCOME"):
        read_finding(text)


def test_a_command_has_a_time_a_class_and_perhaps_a_part() -> None:
    assert read_event("10:05=manual@za", NOON) == Event(datetime(2026, 5, 4, 10, 5), "manual", "za")


def test_a_time_of_day_is_the_last_one() -> None:
    assert read_time("23:50", NOON) == datetime(2026, 5, 3, 23, 50)
    assert read_time("12 min ago", NOON) == datetime(2026, 5, 4, 11, 48)


@pytest.mark.parametrize("text", ["25:00", "soon", "10:5", ""])
def test_what_is_no_time_is_refused(text: str) -> None:
    with pytest.raises(BadTime):
        read_time(text, NOON)


def test_now_is_read_on_the_clock_of_the_site() -> None:
    """Outside check: the IANA time zone database; London is on summer time in May."""
    assert read_now("10:20", date(2026, 5, 4)) == datetime(2026, 5, 4, 10, 20)
    assert read_now("2026-05-04T09:20:00+00:00", date(2026, 1, 1), "Europe/London") == datetime(2026, 5, 4, 10, 20)
    assert read_now(None, date(2026, 5, 4)) is None
