"""POST /v1/inspections: stored and inline sites, with every fault of a bad description told."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from api.inspections import EXAMPLES

OVERLOADED = EXAMPLES["inline"]["value"]["site"]


@pytest.fixture(scope="module", autouse=True)
def _on_a_day_when_the_battery_is_new(client: TestClient) -> Iterator[None]:
    """Turn the service's clock back, so that the age of the medium site's battery stays what it is."""
    app: FastAPI = client.app  # type: ignore[assignment]
    service = app.state.service
    app.state.service = replace(service, now=lambda: datetime(2026, 5, 4, 12))
    yield
    app.state.service = service


def test_a_stored_site_without_faults_is_clean(client: TestClient) -> None:
    answered = client.post("/v1/inspections", json={"site": "medium"})

    assert answered.status_code == 200
    assert answered.json()["verdict"] == "clean"
    assert answered.json()["findings"] == []
    assert answered.json()["counts"] == {"error": 0, "warning": 0, "note": 0}


def test_an_inline_site_is_inspected_with_figures_remedy_and_source(client: TestClient) -> None:
    answered = client.post("/v1/inspections", json={"site": OVERLOADED}).json()
    first = answered["findings"][0]

    assert answered["verdict"] == "findings"
    assert (first["rule"], first["severity"], first["part"], first["field"]) == (
        "output-overloaded",
        "error",
        "o1",
        "outputs.o1.rated_current_a",
    )
    assert first["reason"] == "All that hangs on o1 draws 2.4 A when it runs, and the output is rated 2 A."
    assert first["remedy"]
    assert first["source"] == "common practice, no source"
    assert first["cause"] == "output-overloaded"


def test_lesser_findings_are_left_out_on_request_and_still_counted(client: TestClient) -> None:
    answered = client.post("/v1/inspections", json={"site": OVERLOADED, "at_least": "error"}).json()

    assert [it["severity"] for it in answered["findings"]] == ["error"]
    assert answered["counts"]["note"] == 1


def test_a_bad_description_is_refused_with_the_field(client: TestClient) -> None:
    answered = client.post("/v1/inspections", json={"site": {"name": "Gym", "drives": {"d1": {"output": "o9"}}}})

    assert answered.status_code == 422
    assert answered.json()["type"] == "urn:ventsleuth:problem:bad-site"
    assert answered.json()["errors"][0]["field"] == "site.drives.d1.output"


def test_a_site_that_is_not_stored_is_named_with_the_nearest(client: TestClient) -> None:
    answered = client.post("/v1/inspections", json={"site": "medum"})

    assert answered.status_code == 404
    assert answered.json()["errors"][0]["nearest"] == ["medium"]


@pytest.mark.parametrize("body", [{}, {"site": "small", "at_least": "bad"}, {"site": "small", "other": 1}, {"site": 3}])
def test_a_request_of_another_shape_is_refused(client: TestClient, body: dict[str, object]) -> None:
    answered = client.post("/v1/inspections", json=body)

    assert answered.status_code == 422
    assert answered.headers["content-type"] == "application/problem+json"


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_examples_shown_are_answered(client: TestClient, name: str) -> None:
    assert client.post("/v1/inspections", json=EXAMPLES[name]["value"]).status_code == 200
