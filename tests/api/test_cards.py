"""Cards of a learner over HTTP: handed out, kept after a quiz, due, graded, and nobody else's."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import pytest
from fastapi.testclient import TestClient

from api.dependencies import Service

QUIZ = {"site": "small", "questions": 5, "level": 1, "seed": 5, "kinds": ["likeliest-cause", "expect-outcome"]}


@pytest.fixture(scope="module")
def quiz(client: TestClient) -> dict[str, Any]:
    """Return a quiz whose questions rest on causes."""
    made: dict[str, Any] = client.post("/v1/quizzes", json=QUIZ).json()
    return made


@pytest.fixture
def deck(client: TestClient, quiz: dict[str, Any]) -> dict[str, Any]:
    """Return the cards of somebody who learns alone."""
    answer = client.post("/v1/learners", json={"quiz": quiz["id"]})
    assert answer.status_code == 201, answer.text
    made: dict[str, Any] = answer.json()
    return made


@pytest.fixture
def later(client: TestClient) -> Iterator[Any]:
    """Let the clock of the service go on by so many days, until the end of the test."""
    service: Service = client.app.state.service  # type: ignore[attr-defined]

    def go_on(days: float) -> None:
        now = replace(service, now=lambda: datetime.now() + timedelta(days=days))
        client.app.state.service = now  # type: ignore[attr-defined]

    yield go_on
    client.app.state.service = service  # type: ignore[attr-defined]


def sat(client: TestClient, quiz: dict[str, Any], feedback: str) -> dict[str, Any]:
    """Return a sitting of which the first question was answered rightly and the second wrongly."""
    code = client.post("/v1/classes", json={"quiz": quiz["id"], "feedback": feedback}).json()["code"]
    sitting: dict[str, Any] = client.post("/v1/sittings", json={"code": code}).json()
    for item, is_right in zip(quiz["quiz"]["items"][:2], (True, False), strict=True):
        ids = [it["id"] for it in item["choices"]]
        right = ids.index(item["answer"][0])
        letter = "ABCDEFGH"[right if is_right else (right + 1) % len(ids)]
        client.put(f"/v1/sittings/{sitting['id']}/answers/{item['id']}", json={"given": [letter]}).raise_for_status()
    return sitting


def due(client: TestClient, learner: str) -> dict[str, Any]:
    """Return what a learner is to meet now."""
    found: dict[str, Any] = client.get(f"/v1/learners/{learner}/due").json()
    return found


def test_cards_handed_out_are_due_at_once_each_with_its_question(client: TestClient, deck: dict[str, Any]) -> None:
    found = due(client, deck["learner"])

    assert deck["due"] == len(deck["cards"]) == len(found["cards"]) > 0
    assert all(it["question"]["lead_in"] and it["right"] and it["explanation"] for it in found["cards"])
    assert deck["address"] == f"/quiz/cards.html#{deck['learner']}"


def test_a_better_grade_brings_a_card_back_later_and_at_the_time_that_was_told(
    client: TestClient, deck: dict[str, Any]
) -> None:
    cards = due(client, deck["learner"])["cards"]
    for card, grade in zip(cards, ("wrong", "easy"), strict=False):
        told = card["next"]
        assert told["wrong"] < told["right"] < told["easy"]
        path = f"/v1/learners/{deck['learner']}/cards/{card['kind']}/{card['entry']}"
        graded = client.post(path, json={"grade": grade}).json()
        assert abs(datetime.fromisoformat(graded["due"]) - datetime.fromisoformat(told[grade])) < timedelta(minutes=1)

    assert due(client, deck["learner"])["left"] == len(cards) - 2


def test_what_was_known_is_due_again_on_its_day(client: TestClient, deck: dict[str, Any], later: Any) -> None:
    for card in due(client, deck["learner"])["cards"]:
        client.post(
            f"/v1/learners/{deck['learner']}/cards/{card['kind']}/{card['entry']}", json={"grade": "easy"}
        ).raise_for_status()
    assert due(client, deck["learner"])["cards"] == []
    later(days=60)

    assert due(client, deck["learner"])["left"] == len(deck["cards"])


def test_answers_of_a_quiz_are_kept_as_cards_once(client: TestClient, quiz: dict[str, Any]) -> None:
    sitting = sat(client, quiz, "instant")
    first = client.post(f"/v1/sittings/{sitting['id']}/cards", json={}).json()
    again = client.post(f"/v1/sittings/{sitting['id']}/cards", json={"learner": first["learner"]}).json()

    assert again == first
    assert 0 < len(first["cards"]) <= 2


def test_cards_of_a_second_quiz_join_those_of_the_first(client: TestClient, quiz: dict[str, Any]) -> None:
    other = client.post("/v1/quizzes", json={**QUIZ, "seed": 6}).json()
    first = client.post(f"/v1/sittings/{sat(client, quiz, 'instant')['id']}/cards", json={}).json()
    second = client.post(
        f"/v1/sittings/{sat(client, other, 'instant')['id']}/cards",
        json={"learner": first["learner"].replace("-", "").lower()},
    ).json()

    assert second["learner"] == first["learner"]
    assert {it["entry"] for it in first["cards"]} < {it["entry"] for it in second["cards"]}


def test_nothing_is_kept_while_the_answers_may_not_be_told(client: TestClient, quiz: dict[str, Any]) -> None:
    sitting = sat(client, quiz, "final")
    early = client.post(f"/v1/sittings/{sitting['id']}/cards", json={})
    client.post(f"/v1/sittings/{sitting['id']}/result")

    assert (early.status_code, early.json()["detail"]) == (
        409,
        "Finish the quiz first: its answers are told at the end.",
    )
    assert client.post(f"/v1/sittings/{sitting['id']}/cards", json={}).status_code == 200


@pytest.mark.parametrize("path", ["/v1/learners/ABCD-EFGH-JKLM", "/v1/learners/ABCD-EFGH-JKLM/due"])
def test_a_code_nobody_has_is_told_so(client: TestClient, path: str) -> None:
    answer = client.get(path)

    assert answer.status_code == 404
    assert "no cards under this code" in answer.json()["detail"]


def test_a_card_that_is_not_there_cannot_be_graded(client: TestClient, deck: dict[str, Any]) -> None:
    answer = client.post(f"/v1/learners/{deck['learner']}/cards/causes/no-such-cause", json={"grade": "right"})

    assert answer.status_code == 404
