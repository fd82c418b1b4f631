"""What a phone keeps for the time without a signal, over HTTP."""

from __future__ import annotations

import gzip
import json

from fastapi.testclient import TestClient

from knowledge.load import Knowledge

CASE = {"site": "small", "symptoms": [{"id": "drive-dead", "part": "d1"}], "at": "2026-05-04T12:00"}


def test_a_site_pack_opens_every_symptom_at_every_part_it_can_be_about_and_at_none(
    client: TestClient, knowledge: Knowledge
) -> None:
    pack = client.get("/v1/sites/small/pack").json()
    parts = client.get("/v1/sites/small").json()["parts"]

    sights = {(it["symptom"], it["part"]) for it in pack["cases"]}
    wanted = {
        (symptom.id, part)
        for symptom in knowledge.symptoms.values()
        for part in [None, *(it["id"] for it in parts if it["kind"] in symptom.about)]
    }
    assert sights == wanted
    assert all(0 <= it["chapter"] < len(pack["chapters"]) for it in pack["cases"])


def test_a_pack_says_which_knowledge_and_which_moment_it_was_worked_out_from(client: TestClient) -> None:
    pack = client.get("/v1/sites/small/pack").json()

    assert pack["site"] == "small"
    assert pack["knowledge_version"] == client.get("/healthz").json()["knowledge_version"]
    assert len(pack["at"]) == len("2026-05-04T12:00")


def test_a_pack_that_has_not_changed_is_not_sent_again(client: TestClient) -> None:
    first = client.get("/v1/pack/words")
    again = client.get("/v1/pack/words", headers={"if-none-match": first.headers["etag"]})

    assert again.status_code == 304
    assert again.content == b""


def test_a_pack_is_sent_plain_to_a_caller_that_takes_no_compression(client: TestClient) -> None:
    plain = client.get("/v1/pack/words", headers={"accept-encoding": "identity"})

    assert "content-encoding" not in plain.headers
    assert plain.json() == client.get("/v1/pack/words").json()


def test_another_description_of_the_site_gives_another_pack(client: TestClient) -> None:
    client.put("/v1/sites/packed", json={"name": "Packed", "controllers": {"c1": {"name": "north panel"}}})
    before = client.get("/v1/sites/packed/pack")
    client.put("/v1/sites/packed", json={"name": "Packed", "controllers": {"c1": {"name": "south panel"}}})
    after = client.get("/v1/sites/packed/pack")

    assert before.headers["etag"] != after.headers["etag"]
    assert any("south panel" in where for _, _, where, _ in after.json()["parts"])


def test_the_pack_of_one_case_holds_what_was_told_and_commanded(client: TestClient) -> None:
    held = {**CASE, "symptoms": [{"id": "automatic-ignored", "part": "za"}], "events": [{"at": "11:48"}]}
    pack = client.post("/v1/pack/case", json=held).json()

    [chapter] = pack["chapters"]
    assert "hold-off-active" in {it[0] for it in chapter["hypotheses"]}
    assert pack["at"] == "2026-05-04T12:00"


def test_the_words_hold_every_language_the_service_answers_in(client: TestClient, knowledge: Knowledge) -> None:
    words = client.get("/v1/pack/words").json()

    assert set(words["languages"]) == {"de", "da"}
    assert set(words["languages"]["de"]["symptoms"]) == set(knowledge.symptoms)
    assert {it["id"] for it in words["symptoms"]} == set(knowledge.symptoms)


def test_a_pack_of_an_unknown_site_is_refused_with_the_sites_there_are(client: TestClient) -> None:
    refused = client.get("/v1/sites/nowhere/pack")

    assert refused.status_code == 404
    assert refused.headers["content-type"] == "application/problem+json"


def test_packs_are_small_enough_to_be_loaded_over_a_slow_line(client: TestClient) -> None:
    sizes = {name: packed_bytes(client, f"/v1/sites/{name}/pack") for name in ("small", "medium")}

    assert sizes["small"] < 300_000
    assert sizes["medium"] < 600_000


def packed_bytes(client: TestClient, path: str) -> int:
    text = json.dumps(client.get(path).json(), ensure_ascii=False, separators=(",", ":"))
    return len(gzip.compress(text.encode()))
