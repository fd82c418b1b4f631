"""Practice call-outs over HTTP."""

from __future__ import annotations

from typing import Any

import pytest
from fastapi.testclient import TestClient


@pytest.fixture(scope="module")
def training(client: TestClient) -> TestClient:
    return client


@pytest.fixture
def practice(training: TestClient) -> dict[str, Any]:
    """Return a call-out just begun."""
    begun: dict[str, Any] = training.post("/v1/practices", json={"site": "small", "seed": 4}).json()
    return begun


def step(training: TestClient, practice: dict[str, Any], **taken: Any) -> dict[str, Any]:
    """Return the call-out after a step."""
    after: dict[str, Any] = training.post(f"/v1/practices/{practice['id']}/steps", json=taken).json()
    return after


def test_a_call_out_tells_the_report_and_offers_checks_but_not_the_fault(practice: dict[str, Any]) -> None:
    assert practice["words"].endswith(".")
    assert len(practice["checks"]) > 10
    assert len(practice["causes"]) > 3
    assert "faults" not in str(practice)
    assert (practice["minutes"], practice["steps"], practice["is_over"]) == (0, [], False)


def test_steps_are_kept_and_cost_minutes(training: TestClient, practice: dict[str, Any]) -> None:
    offered = practice["checks"][0]
    after = step(training, practice, kind="check", what=offered["check"], part=offered["part"])
    again = training.get(f"/v1/practices/{practice['id']}").json()

    assert after["minutes"] >= offered["minutes"]
    assert again == after
    assert after["steps"][0]["name"] == offered["name"]


def test_the_debrief_tells_the_cause_and_lays_both_ways_side_by_side(
    training: TestClient, practice: dict[str, Any]
) -> None:
    offered = practice["checks"][0]
    step(training, practice, kind="check", what=offered["check"], part=offered["part"])
    told = training.post(f"/v1/practices/{practice['id']}/debrief").json()

    assert told["is_solved"] is False
    assert told["reference"] == f"/reference/causes/{told['cause']}"
    assert told["steps"][0]["mine"]["name"] == offered["name"]
    assert told["steps"][0]["planned"] is not None


def test_proving_the_right_repair_ends_the_call_out(training: TestClient, practice: dict[str, Any]) -> None:
    told = training.post(f"/v1/practices/{practice['id']}/debrief").json()
    part = next(
        it["part"] for it in practice["causes"] if it["cause"] == told["cause"] and it["where"] == told["where"]
    )
    named = {"what": told["cause"], "part": part}
    mended = step(training, practice, kind="repair", **named)
    proved = step(training, practice, kind="proof", **named)
    more = training.post(f"/v1/practices/{practice['id']}/steps", json={"kind": "repair", **named})

    assert (mended["is_over"], mended["to_prove"]["cause"], mended["steps"][0]["works"]) == (False, told["cause"], None)
    assert (proved["is_over"], proved["to_prove"], proved["steps"][1]["works"]) == (True, None, True)
    assert more.status_code == 422
    assert "over" in more.json()["detail"]


def test_a_proof_before_any_repair_is_refused(training: TestClient, practice: dict[str, Any]) -> None:
    cause = practice["causes"][0]["cause"]
    answer = training.post(f"/v1/practices/{practice['id']}/steps", json={"kind": "proof", "what": cause})

    assert answer.status_code == 422
    assert "nothing to prove" in answer.json()["detail"]


def test_the_debrief_says_which_points_are_missing_and_which_precautions_had_no_use(
    training: TestClient, practice: dict[str, Any]
) -> None:
    first = next(it for it in practice["checks"] if it["check"].startswith("ask-"))
    every = [it["id"] for it in practice["precautions"]]
    step(training, practice, kind="check", what=first["check"], part=first["part"], precautions=every)
    told = training.post(f"/v1/practices/{practice['id']}/debrief").json()

    assert len(told["needless"][0]["precautions"]) == len(every)
    assert any(it.startswith("Proof: 10 missing") for it in told["missing"])
    assert sum(told[it] for it in told if it.startswith("for_")) == told["points"]


@pytest.mark.parametrize(
    ("taken", "named"),
    [
        ({"kind": "check", "what": "volts-drvie", "part": "d1"}, "volts-drive"),
        ({"kind": "repair", "what": "core-opn", "part": "k1"}, "core-open"),
        ({"kind": "check", "what": "volts-drive", "part": "d99"}, "d9"),
        ({"kind": "check", "what": "read-lockouts", "part": "d1"}, "part for this check"),
        ({"kind": "check", "what": "volts-drive", "part": "d1", "precautions": ["isolate"]}, "isolated"),
    ],
)
def test_what_is_not_known_is_refused_with_the_nearest(
    training: TestClient, practice: dict[str, Any], taken: dict[str, Any], named: str
) -> None:
    answer = training.post(f"/v1/practices/{practice['id']}/steps", json=taken)

    assert answer.status_code in (404, 422)
    assert named in answer.json()["detail"]


def test_a_class_that_got_a_topic_wrong_practises_it(training: TestClient) -> None:
    quiz = training.post("/v1/quizzes", json={"site": "small", "questions": 4, "level": 1, "topics": ["input"]}).json()
    code = training.post("/v1/classes", json={"quiz": quiz["id"]}).json()["code"]
    sitting = training.post("/v1/sittings", json={"code": code}).json()
    first = quiz["quiz"]["items"][0]
    shown = sitting["questions"][0]
    wrong = ["A"] * len(shown["prompts"]) if shown["response"] == "match" else [it["letter"] for it in shown["choices"]]
    given = [next(it for it in "ABCD" if first["choices"]["ABCD".index(it)]["id"] not in first["answer"])]
    training.put(
        f"/v1/sittings/{sitting['id']}/answers/{shown['id']}",
        json={"given": given if shown["response"] == "choice" else wrong},
    )
    begun = training.post("/v1/practices", json={"site": "small", "weak_in": code}).json()
    told = training.post(f"/v1/practices/{begun['id']}/debrief").json()
    family = training.app.state.service.desk.reasoner.knowledge.causes[told["cause"]].family  # type: ignore[attr-defined]

    assert family == "input"
