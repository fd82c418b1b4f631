"""Pairs of parts: time programmes on days they share, lockouts that always stand, settings along a cable."""

from __future__ import annotations

import pytest

from diag.inspection.relations import relation_facts
from tests.diag.inspection.builders import view_of

OPEN = {"zones": ["z1"], "days": ["mon"], "at": "07:00", "does": "open"}
CLOSE = {"zones": ["z1"], "days": ["mon"], "at": "07:00", "does": "close"}


def kinds(**sections: object) -> list[str]:
    """Return the kinds of pairs found in a site of one zone."""
    return [it.kind for it in relation_facts(view_of(zones={"z1": {}}, **sections))]


def span(start: str, end: str) -> dict[str, str]:
    return {"from_day": start, "until_day": end}


@pytest.mark.parametrize(
    ("first", "second", "clash"),
    [
        ({}, {}, True),
        (span("05-01", "09-30"), {}, True),
        (span("05-01", "09-30"), span("09-30", "11-01"), True),
        (span("05-01", "09-30"), span("10-01", "04-30"), False),
        (span("11-01", "02-28"), span("02-01", "03-01"), True),
        ({"days": ["tue"]}, {}, False),
        ({"days": None}, {}, False),
        ({"at": "07:01"}, {}, False),
        ({"does": "close"}, {}, False),
    ],
)
def test_programmes_clash_at_one_minute_of_a_day_they_share(
    first: dict[str, object], second: dict[str, object], clash: bool
) -> None:
    schedules = {"p1": without_none({**OPEN, **first}), "p2": without_none({**CLOSE, **second})}

    assert kinds(schedules=schedules) == (["clash"] if clash else [])


@pytest.mark.parametrize(
    ("lockout", "schedule", "blocked"),
    [
        ({"from_time": "22:00", "until_time": "06:00"}, {"at": "23:00"}, True),
        ({"from_time": "22:00", "until_time": "06:00"}, {"at": "05:59"}, True),
        ({"from_time": "22:00", "until_time": "06:00"}, {"at": "06:00"}, False),
        ({"from_time": "12:00", "until_time": "14:00"}, {"at": "12:00"}, True),
        (span("11-01", "02-28"), span("12-01", "01-31"), True),
        (span("11-01", "02-28"), span("12-01", "03-31"), False),
        (span("11-01", "02-28"), {}, False),
        ({"from_time": "22:00", "until_time": "06:00", "refuses": "close"}, {"at": "23:00"}, False),
        ({}, {"at": "23:00"}, False),
    ],
)
def test_a_programme_is_blocked_only_when_a_lockout_always_stands(
    lockout: dict[str, object], schedule: dict[str, object], blocked: bool
) -> None:
    sections = {
        "lockouts": {"lo1": {"kind": "night", "zones": ["z1"], "refuses": "open", **lockout}},
        "schedules": {"p1": {"zones": ["z1"], "does": "open", **schedule}},
    }

    assert kinds(**sections) == (["blocked"] if blocked else [])


def test_each_setting_that_differs_along_a_cable_is_told_against_the_first() -> None:
    same = {"trunk": "main", "protocol": "modbus-rtu", "parity": "even", "speed_baud": 9600}
    links = {"a": same, "b": {**same, "parity": "none"}, "c": {**same, "speed_baud": 19200}}
    pairs = list(relation_facts(view_of(links=links)))

    assert [(it["part"], it["other"], it["setting"]) for it in pairs] == [("b", "a", "parity"), ("c", "a", "speed")]


def without_none(fields: dict[str, object]) -> dict[str, object]:
    return {name: value for name, value in fields.items() if value is not None}
