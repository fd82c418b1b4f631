"""The service as a whole: its document, its headers, its limits, its health."""

from __future__ import annotations

import os
import signal

import pytest
from fastapi.testclient import TestClient
from openapi_spec_validator import validate

REQUEST = {"site": "small", "symptoms": [{"id": "drive-dead", "part": "d1"}], "at": "2026-05-04T12:00"}


def test_the_openapi_document_is_valid_by_its_standard(client: TestClient) -> None:
    """Outside check: openapi-spec-validator, against the OpenAPI 3.1 schema."""
    validate(client.get("/openapi.json").json())


def test_operation_ids_are_the_names_clients_are_generated_with(client: TestClient) -> None:
    paths = client.get("/openapi.json").json()["paths"]
    ids = {operation["operationId"] for operations in paths.values() for operation in operations.values()}

    assert {
        "create_diagnosis",
        "find_symptoms",
        "read_cause",
        "list_sites",
        "read_site",
        "store_site",
        "read_health",
    } <= ids


def test_every_operation_answers_errors_with_problem_details(client: TestClient) -> None:
    for operations in client.get("/openapi.json").json()["paths"].values():
        for operation in operations.values():
            assert list(operation["responses"]["default"]["content"]) == ["application/problem+json"]


def test_every_answer_carries_the_headers_that_keep_foreign_content_out(client: TestClient) -> None:
    for path in ("/healthz", "/v1/sites", "/v1/nothing"):
        assert "default-src 'self'" in client.get(path).headers["content-security-policy"]


def test_health_names_the_knowledge(client: TestClient) -> None:
    health = client.get("/healthz").json()

    assert health["status"] == "ok"
    assert health["symptoms"] == 56


def test_symptoms_are_found_by_words(client: TestClient) -> None:
    found = client.get("/v1/symptoms", params={"text": "roof vent wont close", "site": "small"}).json()

    assert found["recognised"]
    assert found["symptoms"][0]["id"] == "opens-not-closes"


def test_all_symptoms_are_listed_without_words(client: TestClient) -> None:
    assert len(client.get("/v1/symptoms").json()["symptoms"]) == 56


def test_a_cause_says_how_it_shows_is_mended_and_proved(client: TestClient) -> None:
    cause = client.get("/v1/causes/core-open").json()

    assert cause["checks"]
    assert cause["remedy"]
    assert cause["proof"]
    assert cause["cautions"][0]["defer"]


def test_an_unknown_cause_is_not_found_with_the_nearest(client: TestClient) -> None:
    response = client.get("/v1/causes/core-opn")

    assert response.status_code == 404
    assert "core-open" in response.json()["errors"][0]["nearest"]


def test_an_unknown_query_parameter_is_refused_not_ignored(client: TestClient) -> None:
    response = client.get("/v1/symptoms", params={"txt": "window"})

    assert response.status_code == 422
    assert response.json()["errors"][0]["field"] == "query.txt"


@pytest.mark.parametrize("content", [b"a" * 1_000_001, [b"a" * 600_000] * 2], ids=["said", "unsaid"])
def test_a_body_that_is_too_large_is_refused_as_problem_details(
    client: TestClient, content: bytes | list[bytes]
) -> None:
    headers = {"content-type": "application/json"}
    response = client.post("/v1/diagnoses", content=content, headers=headers)

    assert response.status_code == 413
    assert response.headers["content-type"] == "application/problem+json"


def test_broken_json_is_refused_as_problem_details(client: TestClient) -> None:
    response = client.post("/v1/diagnoses", content=b'{"site": ', headers={"content-type": "application/json"})

    assert response.status_code == 422
    assert response.headers["content-type"] == "application/problem+json"


def test_a_killed_engine_worker_loses_no_request(client: TestClient) -> None:
    wanted = client.post("/v1/diagnoses", json=REQUEST).json()
    for pid in client.app.state.service.desk.pool.pids:  # type: ignore[attr-defined]
        os.kill(pid, signal.SIGKILL)
    response = client.post("/v1/diagnoses", json=REQUEST)

    assert response.status_code == 200
    assert response.json() == wanted
