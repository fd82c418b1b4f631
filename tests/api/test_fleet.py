"""What recurs over all cases and sites of an organisation."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import Any
from xml.etree import ElementTree

import pytest
from fastapi.testclient import TestClient

from api.app import Settings, create_app
from api.fleet.chart import bar_chart
from api.fleet.count import Recurring, summarise_rows
from tests.api.case_calls import DEAD, added, opened


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """Return a client of a service with three worked cases and an open one."""
    place: Path = tmp_path_factory.mktemp("fleet") / "fleet.db"
    with TestClient(create_app(Settings(place, demos=("small", "medium")))) as client:
        for cause, reopened in (("core-open", False), ("core-open", True), ("polarity-swapped", False)):
            case_id = opened(client, **DEAD)["case"]["id"]
            added(client, case_id, {"kind": "cause-confirmed", "cause": cause, "part": "d1"})
            added(client, case_id, {"kind": "closed", "outcome": "repaired"})
            if reopened:
                added(client, case_id, {"kind": "reopened"}, {"kind": "closed", "outcome": "repaired"})
        opened(client, **{**DEAD, "site": "medium", "symptoms": [{"id": "panel-dark"}]})
        yield client


def row(**values: Any) -> SimpleNamespace:
    """Return a case as the database has it."""
    usual = {
        "site": "a",
        "symptom": "s",
        "confirmed_cause": None,
        "confirmed_part": None,
        "status": "open",
        "visits": 1,
    }
    return SimpleNamespace(**{**usual, "opened_at": "2026-05-04T10:00:00.000Z", "closed_at": None, **values})


def test_what_recurs_is_counted_most_frequent_first(desk: TestClient) -> None:
    fleet = desk.get("/v1/fleet").json()

    assert (fleet["cases"], fleet["closed"], fleet["confirmed"]) == (4, 3, 3)
    assert [(it["id"], it["cases"]) for it in fleet["causes"]] == [("core-open", 2), ("polarity-swapped", 1)]
    assert [(it["id"], it["cases"]) for it in fleet["parts"]] == [("small: d1", 3)]
    assert [(it["id"], it["cases"]) for it in fleet["sites"]] == [("small", 3), ("medium", 1)]
    assert fleet["sites"][1]["name"].startswith("Hallowbeck")
    assert fleet["first_visit_rate"] == 0.6667


def test_minutes_are_from_opening_to_closing_and_never_negative() -> None:
    fleet = summarise_rows(
        [
            row(status="closed", closed_at="2026-05-04T10:30:00.000Z"),
            row(status="closed", closed_at="2026-05-04T11:00:00.000Z", site="b"),
            row(status="closed", closed_at="2026-05-04T09:00:00.000Z", site="c"),
            row(),
        ]
    )

    assert fleet.mean_minutes == 30
    assert {it.id: it.mean_minutes for it in fleet.sites} == {"a": 30, "b": 60, "c": 0}
    assert summarise_rows([]).first_visit_rate is None


def test_a_time_span_leaves_out_what_was_opened_before_or_after(desk: TestClient) -> None:
    assert desk.get("/v1/fleet?until=2020-01-01").json()["cases"] == 0
    assert desk.get("/v1/fleet?since=2020-01-01").json()["cases"] == 4
    assert desk.get("/v1/fleet?since=yesterday").status_code == 422


def test_a_list_comes_as_a_table_that_runs_no_formulas(desk: TestClient) -> None:
    desk.put("/v1/sites/sly", json={"name": "=HYPERLINK(1)"})
    opened(desk, site="sly", symptoms=[{"id": "panel-dark"}])
    table = list(csv.DictReader(desk.get("/v1/fleet/sites.csv").text.splitlines()))

    assert {it["id"]: it["cases"] for it in table} == {"small": "3", "medium": "1", "sly": "1"}
    assert [it["name"] for it in table if it["id"] == "sly"] == ["'=HYPERLINK(1)"]


def test_a_list_comes_as_a_picture_that_says_the_same_in_words(desk: TestClient) -> None:
    picture = desk.get("/v1/fleet/causes.svg")
    words = ElementTree.fromstring(picture.text).findtext("{http://www.w3.org/2000/svg}desc")

    assert picture.headers["content-type"] == "image/svg+xml"
    assert words is not None
    assert words.endswith(" 1")
    assert desk.get("/v1/fleet/nothing.svg").status_code == 422


def test_a_picture_holds_whatever_names_there_are() -> None:
    drawn = bar_chart("A & B", [Recurring("<script>" + "x" * 90, 3, None), Recurring("b", 1, 2.0)])

    assert "<script>" not in drawn
    assert len(ElementTree.fromstring(drawn).findall("{http://www.w3.org/2000/svg}rect")) == 3
    assert "No cases." in bar_chart("None", [])


def test_all_sites_are_inspected_page_by_page(desk: TestClient) -> None:
    for number in range(25):
        desk.put(f"/v1/sites/many-{number:02}", json={"name": f"Site {number}"})
    first = desk.get("/v1/fleet/inspections").json()
    rest = desk.get(first["next"]).json()
    seen = [it["site"] for it in first["sites"] + rest["sites"]]

    assert len(first["sites"]) == 20
    assert seen == sorted(seen)
    assert len(seen) >= 27
    assert rest["next"] is None
