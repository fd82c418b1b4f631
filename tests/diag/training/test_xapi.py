"""xAPI statements, held to the tables of the specification (version 1.0.3, part two), from memory."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from typing import Any
from uuid import UUID

import pytest

from diag.training.item import Item, Quiz
from diag.training.xapi import Attempt, answered_statement, completed_statement
from tests.diag.training.builders import in_order, pairs, question

AT = datetime(2026, 5, 4, 10, 20, 30, 123456, tzinfo=UTC)
HOME = "https://vents.example"
ITEMS = (
    question("One", "Two", "Three", key=1),
    in_order("One", "Two", "Three", right=(2, 0, 1)),
    pairs(("First", "Second"), ("One", "Two", "Three"), (2, 0)),
)
QUIZ = Quiz("A hall", 1, 1, "en", "1", ITEMS)
STATEMENT = {"id", "actor", "verb", "object", "result", "context", "timestamp"}
DEFINITION = {
    "name",
    "description",
    "type",
    "interactionType",
    "correctResponsesPattern",
    "choices",
    "source",
    "target",
}
NEEDED = {"choice": {"choices"}, "sequencing": {"choices"}, "matching": {"source", "target"}}
"""Lists that an interaction of each type takes, besides what every one has."""


def statement(item: Item, given: tuple[str, ...] | None = None) -> dict[str, Any]:
    """Return the statement of an answer to an item, right unless said otherwise."""
    return answered_statement(QUIZ, item, Attempt("s1", "learner-7", given or item.answer, AT), HOME)


@pytest.mark.parametrize("item", ITEMS, ids=["choice", "order", "match"])
def test_a_statement_has_the_properties_of_the_specification_and_no_others(item: Item) -> None:
    made = statement(item)
    definition = made["object"]["definition"]

    assert set(made) == STATEMENT
    assert set(definition) <= DEFINITION
    assert NEEDED[definition["interactionType"]] <= set(definition)
    assert UUID(made["id"]).version == 5


def test_the_patterns_join_answers_and_pairs_as_specified() -> None:
    patterns = [statement(it)["object"]["definition"]["correctResponsesPattern"] for it in ITEMS]

    assert patterns == [["B"], ["C[,]A[,]B"], ["P1[.]C[,]P2[.]A"]]


def test_a_right_response_is_its_own_pattern_and_a_wrong_one_is_no_success() -> None:
    right, wrong = statement(ITEMS[0]), statement(ITEMS[0], ("c0",))

    assert right["result"]["response"] in right["object"]["definition"]["correctResponsesPattern"]
    assert (right["result"]["success"], wrong["result"]["success"]) == (True, False)
    assert wrong["result"]["score"] == {"raw": 0, "min": 0, "max": 1, "scaled": 0.0}


def test_the_same_answer_has_the_same_id_and_another_one_another() -> None:
    assert statement(ITEMS[0])["id"] == statement(ITEMS[0])["id"]
    assert statement(ITEMS[0])["id"] != statement(ITEMS[0], ("c0",))["id"]


def test_the_actor_is_an_account_and_times_are_in_utc() -> None:
    made = statement(ITEMS[0])

    assert made["actor"]["account"] == {"homePage": HOME, "name": "learner-7"}
    assert "mbox" not in made["actor"]
    assert made["timestamp"] == "2026-05-04T10:20:30.123Z"


def test_activity_ids_are_addresses_and_texts_carry_their_language() -> None:
    made = answered_statement(
        replace(QUIZ, language="de"), replace(ITEMS[0], language="de"), Attempt("s1", "l", ("c1",), AT), HOME
    )

    assert made["object"]["id"].startswith(f"{HOME}/quizzes/{QUIZ.id}/items/q-")
    assert set(made["object"]["definition"]["name"]) == {"de"}


def test_the_end_of_a_quiz_is_a_statement_with_its_score() -> None:
    made = completed_statement(QUIZ, "s1", "learner-7", 2, AT, HOME)

    assert made["verb"]["id"].endswith("/completed")
    assert made["result"] == {"completion": True, "score": {"raw": 2, "min": 0, "max": 3, "scaled": 2 / 3}}


@pytest.mark.parametrize(
    "spoilt",
    [
        {"id": "no-uuid"},
        {"actor": {"account": {"homePage": HOME, "name": "l"}, "mbox": "mailto:l@vents.example"}},
        {"verb": {"id": "answered"}},
        {"timestamp": "now"},
        {"extra": 1},
    ],
)
def test_a_general_library_takes_the_statements_and_refuses_spoilt_ones(spoilt: dict[str, Any]) -> None:
    """The models of the library ralph-malph, where it is installed."""
    models = pytest.importorskip("ralph.models.xapi.base.statements", reason="ralph-malph is not installed")
    for item in ITEMS:
        models.BaseXapiStatement.model_validate(statement(item))

    with pytest.raises(ValueError, match="validation error"):
        models.BaseXapiStatement.model_validate(statement(ITEMS[0]) | spoilt)
