"""What of the OWASP API Security Top 10 (2023) is not tested elsewhere; the contributor guide names each test."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from api.app import Settings, create_app
from api.cases.events import EventsIn
from tests.api.case_calls import DEAD, add, opened


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """Return a client of a service."""
    place: Path = tmp_path_factory.mktemp("owasp") / "owasp.db"
    with TestClient(create_app(Settings(place, demos=("small",)))) as client:
        yield client


@pytest.mark.parametrize(
    ("method", "path", "body"),
    [
        ("POST", "/v1/cases", {**DEAD, "id": "mine", "org": "north"}),
        ("POST", "/v1/cases", {**DEAD, "opened_by": "somebody else"}),
        ("POST", "/v1/people", {"login": "a", "name": "b", "role": "technician", "org": "north"}),
        ("POST", "/v1/people", {"login": "a", "name": "b", "role": "owner"}),
        ("POST", "/v1/keys", {"name": "a", "scopes": ["everything"]}),
        ("POST", "/v1/keys", {"name": "a", "scopes": ["diagnose"], "expires_at": "2999-01-01"}),
        ("PATCH", "/v1/organisation", {"retention_days": 3, "last_case": 0}),
    ],
)
def test_api3_fields_that_are_not_the_callers_to_set_are_refused(
    desk: TestClient, method: str, path: str, body: dict[str, object]
) -> None:
    assert desk.request(method, path, json=body).status_code == 422


def test_api3_nobody_writes_an_event_of_the_services_own_kind(desk: TestClient) -> None:
    case_id = opened(desk)["case"]["id"]
    for event in ({"kind": "opened"}, {"kind": "attachment", "id": "x"}, {"kind": "note", "text": "a", "by": "boss"}):
        assert add(desk, case_id, event).status_code == 422


def test_api4_lists_texts_and_pages_have_an_end(desk: TestClient) -> None:
    case_id = opened(desk)["case"]["id"]
    events = [{"kind": "note", "text": "a"}] * 51
    most = EventsIn.model_json_schema()["properties"]["events"]["maxItems"]

    assert most == 50
    assert add(desk, case_id, *events).status_code == 422
    assert add(desk, case_id, {"kind": "note", "text": "a" * 4_001}).status_code == 422
    assert desk.get("/v1/cases?limit=101").status_code == 422
    assert desk.get(f"/v1/cases/{case_id}/events?limit=501").status_code == 422
    assert desk.get("/v1/cases", params={"q": "a" * 401}).status_code == 422


def test_api8_nothing_is_told_of_the_inside(desk: TestClient) -> None:
    for path in ("/docs", "/redoc", "/.env", "/v1/../api/app.py", "/%2e%2e/%2e%2e/etc/passwd", "/api/app.py"):
        response = desk.get(path)
        assert response.status_code in (404, 405), path
        assert "Traceback" not in response.text


def test_api8_answers_may_not_be_framed_sniffed_or_scripted(desk: TestClient) -> None:
    for path in ("/healthz", "/v1/cases", "/sign-in", "/", "/v1/nothing"):
        headers = desk.get(path).headers
        assert "frame-ancestors 'none'" in headers["content-security-policy"]
        assert "unsafe-inline" not in headers["content-security-policy"]
        assert headers["x-content-type-options"] == "nosniff"
        assert "access-control-allow-origin" not in headers


def test_api9_there_is_one_version_and_every_operation_of_it_is_documented(desk: TestClient) -> None:
    paths = desk.get("/openapi.json").json()["paths"]

    assert {path.split("/")[1] for path in paths} == {"v1", "healthz", "readyz", "metrics"}


def test_api9_every_shape_in_the_document_has_a_name_of_its_own(desk: TestClient) -> None:
    """Two of the same name would be told apart by where they lie in the code, and generated clients leave one out."""
    schemas = desk.get("/openapi.json").json()["components"]["schemas"]
    titles = [it["title"] for it in schemas.values() if "title" in it]

    assert [name for name in schemas if "__" in name] == []
    assert len(titles) == len(set(titles))
