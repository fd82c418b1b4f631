"""A draft of a site by questions and answers."""

from __future__ import annotations

from typing import Any

import pytest
from fastapi.testclient import TestClient
from hypothesis import given, settings
from hypothesis import strategies as st

from api.sites.interview import NOT_SURE, Question, draft_from_answers, next_question
from diag.site_file import site_from_data
from tests.api.case_calls import kind_of

FIXED = {
    "name": "Mill",
    "smoke": "yes",
    "battery": "no",
    "hold-off": 30,
    "inputs": ["switch", "rain sensor"],
    "groups": 1,
}
GROUP = {"kind-1": "roof-vent", "count-1": 2, "drive-1": "24 V with a data core"}


def answers_to(question: Question) -> st.SearchStrategy[Any]:
    """Return the answers a question takes."""
    if question.many:
        return st.lists(st.sampled_from(question.choices), unique=True)
    if question.choices:
        return st.sampled_from(question.choices)
    if question.most is not None:
        return st.integers(0, min(question.most, 6)) | st.just(NOT_SURE)
    return st.text(st.characters(categories=["L", "N"]), min_size=1, max_size=30)


def test_the_questions_go_on_until_the_draft_is_there(client: TestClient) -> None:
    answers: dict[str, Any] = {}
    asked = []
    for _ in range(20):
        step = client.post("/v1/site-drafts/interview", json={"answers": answers}).json()
        if step["next"] is None:
            break
        asked.append(step["next"]["id"])
        answers[step["next"]["id"]] = {**FIXED, **GROUP}[step["next"]["id"]]
    draft = step["draft"]

    assert asked == [*FIXED, *GROUP]
    assert step["answered"] == step["asked"] == 9
    assert draft["faults"] == []
    assert draft["description"]["zones"] == {"z1": {"openings": ["w1-1", "w1-2"], "hold_off_minutes": 30}}
    assert draft["description"]["outputs"]["o1"]["kind"] == "data-24v"
    assert "licensed" in draft["remarks"][0]
    assert client.put("/v1/sites/mill", json=draft["description"]).status_code == 201


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_whatever_is_answered_the_draft_has_no_faults(data: st.DataObject) -> None:
    answers: dict[str, Any] = {}
    question, _, _ = next_question(answers)
    while question is not None:
        answers[question.id] = data.draw(answers_to(question))
        question, answered, asked = next_question(answers)
        assert answered <= asked
        site_from_data(draft_from_answers(answers).description())


def test_what_nobody_is_sure_of_stays_unknown() -> None:
    answers = {**FIXED, "smoke": NOT_SURE, "battery": NOT_SURE, "hold-off": NOT_SURE, "inputs": []}
    draft = draft_from_answers({**answers, "kind-1": NOT_SURE, "count-1": 1, "drive-1": NOT_SURE}).description()

    assert draft["controllers"] == {"c1": {"supply": {}}}
    assert draft["openings"] == {"w1-1": {}}
    assert draft["zones"] == {"z1": {"openings": ["w1-1"]}}


@pytest.mark.parametrize(
    "answers",
    [
        {"name": ""},
        {"name": 3},
        {"smoke": "perhaps"},
        {"groups": 13},
        {"groups": -1},
        {"inputs": ["hammer"]},
        {"inputs": ["switch", "switch"]},
        {"kind-1": "window"},
        {"colour": "red"},
    ],
)
def test_an_answer_that_its_question_does_not_take_is_refused(client: TestClient, answers: dict[str, Any]) -> None:
    response = client.post("/v1/site-drafts/interview", json={"answers": answers})

    assert (response.status_code, kind_of(response)) == (422, "bad-draft")
