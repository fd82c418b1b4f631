"""Stored sites over HTTP."""

from __future__ import annotations

from fastapi.testclient import TestClient

from api.examples import SITE_EXAMPLE
from api.store import open_store


def test_demo_sites_are_listed_and_say_that_they_are_demos(client: TestClient) -> None:
    sites = {it["id"]: it for it in client.get("/v1/sites").json()["sites"]}

    assert sites["small"]["demo"]
    assert sites["medium"]["name"].startswith("Hallowbeck")


def test_a_site_comes_with_its_parts_by_kind_and_name(client: TestClient) -> None:
    parts = {it["id"]: it for it in client.get("/v1/sites/small").json()["parts"]}

    assert parts["d1"] == {"id": "d1", "kind": "drive", "name": "drive of the left window"}


def test_a_new_site_is_created_then_replaced(client: TestClient) -> None:
    first = client.put("/v1/sites/gym", json={"name": "Gym"})
    second = client.put("/v1/sites/gym", json={"name": "Gym hall"})

    assert (first.status_code, second.status_code) == (201, 200)
    assert client.get("/v1/sites/gym").json()["name"] == "Gym hall"


def test_a_replaced_site_is_the_one_that_is_diagnosed(client: TestClient) -> None:
    client.put("/v1/sites/shed", json={"name": "Shed", "drives": {"old-drive": {}}})
    request = {"site": "shed", "symptoms": [{"id": "drive-dead", "part": "old-drive"}]}
    assert client.post("/v1/diagnoses", json=request).status_code == 200
    client.put("/v1/sites/shed", json={"name": "Shed", "drives": {"new-drive": {}}})

    assert client.post("/v1/diagnoses", json=request).status_code == 422


def test_every_example_of_the_document_can_be_stored(client: TestClient) -> None:
    for name, example in SITE_EXAMPLE.items():
        assert client.put(f"/v1/sites/{name}", json=example["value"]).status_code == 201


def test_a_faulty_site_is_refused_with_all_its_faults_and_nothing_is_stored(client: TestClient) -> None:
    faulty = {"name": "Barn", "drives": {"d1": {"output": "o9", "stroke": 3}}, "colour": "red"}
    response = client.put("/v1/sites/barn", json=faulty)

    assert response.status_code == 422
    assert len(response.json()["errors"]) == 3
    assert client.get("/v1/sites/barn").status_code == 404


def test_an_id_that_cannot_be_one_is_refused(client: TestClient) -> None:
    assert client.put("/v1/sites/Not An Id", json={"name": "x"}).status_code == 422


def test_a_site_is_still_there_when_the_database_is_opened_again(tmp_path) -> None:  # type: ignore[no-untyped-def]
    path = tmp_path / "deep" / "ventsleuth.db"
    store = open_store(path)
    store.put_site("a", "A", {"name": "A"})
    store.hear("typed before the power went", "a")
    store.close()
    again = open_store(path)

    assert [(it.id, it.version) for it in again.sites()] == [("a", 1)]
    assert again.heard() == ["typed before the power went"]
    again.close()
