"""POST /v1/timelines: a log or events of a site, told as spans, sentences, a table and a chart."""

from __future__ import annotations

from typing import Any
from xml.etree import ElementTree

import pytest
from fastapi.testclient import TestClient

from api.timelines import EXAMPLES, LOG, MOST_DAYS

EVENTS = EXAMPLES["events"]["value"]["events"]
HALL = {"name": "Lindholm school, gym", "zones": {"z1": {"hold_off_minutes": 30}}}


def told(client: TestClient, **request: Any) -> dict[str, Any]:
    answered = client.post("/v1/timelines", json=request)
    assert answered.status_code == 200, answered.text
    found: dict[str, Any] = answered.json()
    return found


def refused(client: TestClient, **request: Any) -> list[tuple[str, str]]:
    answered = client.post("/v1/timelines", json=request)
    assert answered.status_code == 422, answered.text
    assert answered.headers["content-type"] == "application/problem+json"
    return [(it["field"], it["detail"]) for it in answered.json()["errors"]]


def test_a_log_is_told_zone_by_zone(client: TestClient) -> None:
    answered = told(client, site="medium", log=LOG.replace("open", "close"))
    zone = next(it for it in answered["zones"] if it["zone"] == "zn")

    assert zone["sentences"][0]["says"] == "North switch: closed by hand. Automatic waits until 10:35."
    assert zone["spans"][0]["command"]["class"] == "manual"
    assert zone["spans"][0]["holds_until"].startswith("2026-05-04T10:35:00")
    assert [(it["command"]["source"], it["reason"], it["by"]) for it in zone["refused"]] == [
        ("th1", "outranked", "sw-n")
    ]
    assert answered["svg"] is None
    assert any("Nothing was reported for" in note for note in answered["notes"])


def test_events_one_by_one_say_the_same_as_the_log(client: TestClient) -> None:
    by_log = told(client, site="medium", log="time,source,event\n2026-05-04 10:05,sw-n,open\n", zones=["zn"])
    by_event = told(client, site="medium", events=EVENTS[:1], zones=["zn"])

    assert by_event == by_log


def test_the_table_has_a_row_for_each_span(client: TestClient) -> None:
    answered = told(client, site="medium", log=LOG)
    table = answered["table"]

    assert len(table["rows"]) == sum(len(it["spans"]) for it in answered["zones"])
    assert {len(row) for row in table["rows"]} == {len(table["columns"])}


def test_the_chart_is_drawn_on_request(client: TestClient) -> None:
    svg = told(client, site="medium", events=EVENTS, chart=True)["svg"]

    assert ElementTree.fromstring(svg).tag == "{http://www.w3.org/2000/svg}svg"


def test_a_reading_with_its_unit_is_read_as_in_a_log(client: TestClient) -> None:
    warm = [{**EVENTS[1], "value": value} for value in ("26,5 °C", "26.5", 26.5)]
    answers = [told(client, site="medium", events=[it]) for it in warm]

    assert answers[0] == answers[1] == answers[2]


def test_a_site_inline_and_no_events_show_what_the_clock_does(client: TestClient) -> None:
    days = {"zones": ["z1"], "days": ["mon"]}
    programmes = {"on": {**days, "at": "20:00", "does": "open"}, "off": {**days, "at": "22:00", "does": "close"}}
    site = {**HALL, "schedules": programmes}
    spans = told(client, site=site, events=[], start="2026-05-04 21:00", until="2026-05-04 23:00")["zones"][0]["spans"]

    stood = [(it["start"][11:16], it["command"] and it["command"]["action"]) for it in spans]
    assert stood[0] == ("21:00", "open")
    assert ("22:00", "close") in stood


def test_every_bad_line_is_told_with_its_number(client: TestClient) -> None:
    faults = refused(client, site="medium", log=f"{LOG}x,th1,on\n2026-05-04 10:30,rain,wet\n")

    assert [field for field, _ in faults] == ["body.log.line 4.time", "body.log.line 5.event"]


def test_a_bad_event_is_told_with_its_place_in_the_list(client: TestClient) -> None:
    ((field, says),) = refused(client, site="medium", events=[EVENTS[0], {**EVENTS[0], "source": "sw-x"}])

    assert field == "body.events.1.source"
    assert "sw-n" in says


@pytest.mark.parametrize(
    ("request_", "field"),
    [
        ({"log": "a,b\n"}, "body.log.line 1.header"),
        ({"log": ""}, "body.log.line 1.header"),
        ({"log": LOG, "events": EVENTS}, "body"),
        ({}, "body"),
        ({"log": LOG, "zones": ["zx"]}, "part"),
        ({"log": LOG, "start": "soon"}, "body.start"),
        ({"log": LOG, "until": "09:00"}, "body.until"),
        ({"log": LOG, "until": "9999-12-31 23:59"}, "body.until"),
        ({"log": LOG, "start": "0001-01-01 00:00"}, "body.until"),
        ({"events": []}, "body.until"),
        ({"events": [{**EVENTS[0], "time": "2026-05-04 10:05\n"}]}, "body.events.0.time"),
        ({"events": [EVENTS[1], EVENTS[0]]}, "body.events.1.time"),
    ],
)
def test_what_cannot_be_played_is_refused_with_the_field(
    client: TestClient, request_: dict[str, Any], field: str
) -> None:
    assert refused(client, site="medium", **request_)[0][0] == field


def test_more_days_than_can_be_shown_are_refused(client: TestClient) -> None:
    ((_, says),) = refused(client, site="medium", events=EVENTS, until="2028-01-01 00:00")

    assert str(MOST_DAYS) in says


def test_a_site_without_zones_cannot_be_played(client: TestClient) -> None:
    assert refused(client, site={"name": "Gym"}, log=LOG)[0][0] == "body.site.zones"


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_examples_shown_are_answered(client: TestClient, name: str) -> None:
    assert client.post("/v1/timelines", json=EXAMPLES[name]["value"]).status_code == 200
