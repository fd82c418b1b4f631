"""Quizzes, classes and sittings over HTTP."""

from __future__ import annotations

import csv
from io import BytesIO, StringIO
from typing import Any
from zipfile import ZipFile

import pytest
from fastapi.testclient import TestClient

REQUEST = {"site": "small", "questions": 6, "level": 1, "seed": 5}


@pytest.fixture(scope="module")
def training(client: TestClient) -> TestClient:
    return client


@pytest.fixture(scope="module")
def quiz(training: TestClient) -> dict[str, Any]:
    """Return a quiz that was made and kept."""
    made: dict[str, Any] = training.post("/v1/quizzes", json=REQUEST).json()
    return made


def opened(training: TestClient, quiz: dict[str, Any], feedback: str = "final") -> str:
    """Return the code of a class opened for the quiz."""
    return str(training.post("/v1/classes", json={"quiz": quiz["id"], "feedback": feedback}).json()["code"])


def joined(training: TestClient, code: str) -> dict[str, Any]:
    """Return a new sitting in a class."""
    answer = training.post("/v1/sittings", json={"code": code})
    assert answer.status_code == 201, answer.text
    found: dict[str, Any] = answer.json()
    return found


def right_letters(quiz: dict[str, Any], item_id: str) -> list[str]:
    """Return the right answer of a question in letters."""
    item = next(it for it in quiz["quiz"]["items"] if it["id"] == item_id)
    letters = {choice["id"]: "ABCDEFGH"[place] for place, choice in enumerate(item["choices"])}
    return [letters[it] for it in item["answer"]]


def give(training: TestClient, sitting: dict[str, Any], item: str, letters: list[str]) -> Any:
    """Return the response to an answer."""
    return training.put(f"/v1/sittings/{sitting['id']}/answers/{item}", json={"given": letters})


def wrong_letters(letters: list[str]) -> list[str]:
    """Return an answer of the same shape that is not right."""
    return letters[::-1] if len(letters) > 1 else ["A" if letters != ["A"] else "B"]


def test_a_quiz_is_made_once_for_the_same_request(training: TestClient, quiz: dict[str, Any]) -> None:
    again = training.post("/v1/quizzes", json=REQUEST)

    assert again.status_code == 201
    assert again.json() == quiz
    assert [it["id"] for it in training.get("/v1/quizzes").json()["quizzes"]].count(quiz["id"]) == 1


def test_a_quiz_of_new_questions_repeats_none_that_is_kept(training: TestClient, quiz: dict[str, Any]) -> None:
    other = training.post("/v1/quizzes", json={**REQUEST, "new_only": True}).json()

    assert not {it["id"] for it in other["quiz"]["items"]} & {it["id"] for it in quiz["quiz"]["items"]}


def test_an_inline_site_gives_a_quiz_or_says_what_is_too_little(training: TestClient) -> None:
    answer = training.post("/v1/quizzes", json={"site": {"name": "Bare"}, "questions": 50})

    assert answer.status_code == 422
    assert "describe more of the site" in answer.json()["detail"]


@pytest.mark.parametrize(
    ("form", "starts"),
    [("qti", b"PK"), ("qti3", b"PK"), ("json", b"{"), ("html", b"<!doctype"), ("markdown", b"# Quiz")],
)
def test_a_quiz_is_exported_as_a_file(training: TestClient, quiz: dict[str, Any], form: str, starts: bytes) -> None:
    answer = training.get(f"/v1/quizzes/{quiz['id']}/file", params={"form": form})

    assert answer.content.startswith(starts)
    assert quiz["id"] in answer.headers["content-disposition"]


def test_exports_hold_every_question(training: TestClient, quiz: dict[str, Any]) -> None:
    packed = training.get(f"/v1/quizzes/{quiz['id']}/file").content
    table = training.get(f"/v1/quizzes/{quiz['id']}/file", params={"form": "csv"}).content.decode("utf-8-sig")

    assert len(ZipFile(BytesIO(packed)).namelist()) == len(quiz["quiz"]["items"]) + 2
    assert len(list(csv.DictReader(StringIO(table)))) == len(quiz["quiz"]["items"])


def test_a_learner_sees_questions_without_anything_that_tells_the_answers(
    training: TestClient, quiz: dict[str, Any]
) -> None:
    sitting = joined(training, opened(training, quiz))
    shown = str(sitting)

    assert [it["id"] for it in sitting["questions"]] == [it["id"] for it in quiz["quiz"]["items"]]
    assert "explanation" not in shown
    assert "'why'" not in shown
    assert not any(step in shown for step in ("step-0", "evidence"))
    assert (sitting["marks"], sitting["result"]) == ([], None)


def test_a_code_is_taken_in_small_letters_and_an_unknown_one_refused_in_words(
    training: TestClient, quiz: dict[str, Any]
) -> None:
    code = opened(training, quiz)

    assert joined(training, code.lower())["learner"] == "Learner 1"
    assert joined(training, code)["learner"] == "Learner 2"
    assert "no open class" in training.post("/v1/sittings", json={"code": "XXXXXX"}).json()["detail"]


def test_with_feedback_at_the_end_nothing_is_told_before_and_answers_may_change(
    training: TestClient, quiz: dict[str, Any]
) -> None:
    sitting = joined(training, opened(training, quiz))
    item = sitting["questions"][0]["id"]
    right = right_letters(quiz, item)

    assert give(training, sitting, item, wrong_letters(right)).json() == {"item": item, "mark": None}
    give(training, sitting, item, right)
    result = training.post(f"/v1/sittings/{sitting['id']}/result").json()

    assert (result["right"], result["asked"]) == (1, 6)
    assert result["marks"][0]["right"] == right
    assert result["marks"][0]["explanation"]


def test_with_feedback_at_once_the_first_answer_counts(training: TestClient, quiz: dict[str, Any]) -> None:
    sitting = joined(training, opened(training, quiz, "instant"))
    item = sitting["questions"][0]["id"]
    right = right_letters(quiz, item)
    first = give(training, sitting, item, wrong_letters(right)).json()["mark"]
    second = give(training, sitting, item, right).json()["mark"]

    assert first["is_right"] is False
    assert first["right"] == right
    assert second == first


def test_a_sitting_goes_on_where_it_was_left(training: TestClient, quiz: dict[str, Any]) -> None:
    sitting = joined(training, opened(training, quiz))
    item = sitting["questions"][2]["id"]
    give(training, sitting, item, right_letters(quiz, item))
    again = training.get(f"/v1/sittings/{sitting['id']}").json()

    assert again["answers"] == {item: right_letters(quiz, item)}


@pytest.mark.parametrize("letters", [["H"], ["A", "A", "A", "A", "A", "A"]])
def test_letters_that_answer_nothing_are_refused(
    training: TestClient, quiz: dict[str, Any], letters: list[str]
) -> None:
    sitting = joined(training, opened(training, quiz))
    answer = give(training, sitting, sitting["questions"][0]["id"], letters)

    assert answer.status_code == 422
    assert "do not answer" in answer.json()["detail"]


def test_nothing_is_taken_after_the_end(training: TestClient, quiz: dict[str, Any]) -> None:
    code = opened(training, quiz)
    done, late = joined(training, code), joined(training, code)
    item = done["questions"][0]["id"]
    training.post(f"/v1/sittings/{done['id']}/result")
    training.delete(f"/v1/classes/{code}")

    assert give(training, done, item, ["A"]).status_code == 409
    assert give(training, late, item, ["A"]).status_code == 409
    assert training.post("/v1/sittings", json={"code": code}).status_code == 404


def test_the_trainer_watches_a_class(training: TestClient, quiz: dict[str, Any]) -> None:
    code = opened(training, quiz)
    one, two = joined(training, code), joined(training, code)
    item = one["questions"][0]["id"]
    right = right_letters(quiz, item)
    give(training, one, item, right)
    give(training, two, item, wrong_letters(right))
    training.post(f"/v1/sittings/{one['id']}/result")
    seen = training.get(f"/v1/classes/{code}").json()

    assert [(it["learner"], it["answered"], it["right"], it["is_done"]) for it in seen["learners"]] == [
        ("Learner 1", 1, 1, True),
        ("Learner 2", 1, 0, False),
    ]
    assert (seen["items"][0]["answered"], seen["items"][0]["right"]) == (2, 1)
    assert seen["address"] == f"/quiz/#{code}"
    assert one["id"] not in str(seen)


def test_a_class_has_a_picture_for_phones(training: TestClient, quiz: dict[str, Any]) -> None:
    answer = training.get(f"/v1/classes/{opened(training, quiz)}/qr.svg")

    assert answer.headers["content-type"] == "image/svg+xml"
    assert "/quiz/#" in answer.text


def test_statistics_hide_figures_until_there_are_thirty_learners(training: TestClient) -> None:
    made = training.post("/v1/quizzes", json={**REQUEST, "seed": 77, "questions": 3}).json()
    code = opened(training, made)
    for number in range(30):
        if number == 29:
            assert training.get(f"/v1/quizzes/{made['id']}/statistics").json()["items"] == []
        sitting = joined(training, code)
        for place, it in enumerate(sitting["questions"]):
            right = right_letters(made, it["id"])
            give(training, sitting, it["id"], right if number % (place + 2) else wrong_letters(right))
        training.post(f"/v1/sittings/{sitting['id']}/result")
    seen = training.get(f"/v1/quizzes/{made['id']}/statistics").json()

    assert (seen["learners"], seen["needed"]) == (30, 30)
    assert [round(it["difficulty"], 3) for it in seen["items"]] == [0.5, 0.667, 0.733]


def test_answers_come_out_as_statements(training: TestClient, quiz: dict[str, Any]) -> None:
    sitting = joined(training, opened(training, quiz))
    item = sitting["questions"][0]["id"]
    give(training, sitting, item, right_letters(quiz, item))
    made = training.get(f"/v1/quizzes/{quiz['id']}/statements").json()["statements"]
    mine = [it for it in made if it["object"]["id"].endswith(item)]

    assert {it["verb"]["display"]["en-GB"] for it in mine} == {"answered"}
    assert sitting["id"] not in str(made)


@pytest.mark.parametrize(
    "path",
    ["/v1/quizzes/z-000000000000", "/v1/classes/ZZZZZZ", f"/v1/sittings/{'0' * 32}", f"/v1/practices/{'0' * 26}"],
)
def test_what_is_not_there_is_a_problem_in_words(training: TestClient, path: str) -> None:
    answer = training.get(path)

    assert answer.status_code == 404
    assert answer.headers["content-type"] == "application/problem+json"


@pytest.mark.parametrize(
    ("field", "value"), [("level", True), ("seed", False), ("questions", True), ("new_only", 1), ("level", 4)]
)
def test_a_truth_value_is_no_number_and_a_number_no_truth_value(
    training: TestClient, field: str, value: object
) -> None:
    answer = training.post("/v1/quizzes", json={**REQUEST, field: value})

    assert answer.status_code == 422
    assert answer.json()["errors"][0]["field"] == f"body.{field}"


def test_unknown_topics_are_named(training: TestClient) -> None:
    answer = training.post("/v1/quizzes", json={**REQUEST, "topics": ["wirring"]})

    assert answer.status_code == 422
    assert "wiring" in answer.json()["detail"]
