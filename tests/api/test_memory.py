"""What is answered leaves nothing behind in memory: only so many cases are kept ready, however many there were.

`python -m tests.bench.load --minutes 30` looks at the memory of a service over half an hour.
"""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from fastapi.testclient import TestClient

from api.app import Settings, create_app
from api.cases import reason, states
from tests.api.case_calls import ANSWER, DEAD, added, opened

KEPT = 4
ROUNDS = 40


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """Return a client of a service that keeps few cases ready."""
    settings = Settings(tmp_path_factory.mktemp("memory") / "a.db", demos=("small",))
    with pytest.MonkeyPatch.context() as patch, TestClient(create_app(settings)) as client:
        patch.setattr(reason, "OPEN_KEPT", KEPT)
        patch.setattr(states, "KEPT", KEPT)
        yield client


def left_behind(work: Callable[[int], Any]) -> int:
    """Return how many objects more there are after so many rounds of work than after the first few."""
    for number in range(2 * KEPT):
        work(number)
    before = objects()
    for number in range(2 * KEPT, 2 * KEPT + ROUNDS):
        work(number)
    return objects() - before


def objects() -> int:
    """Return how many objects are in use."""
    gc.collect()
    return len(gc.get_objects())


def test_answers_leave_nothing_behind(client: TestClient) -> None:
    case_id = opened(client)["case"]["id"]

    def answer_and_take_back(_: int) -> None:
        answered = added(client, case_id, ANSWER)["events"][0]["seq"]
        added(client, case_id, {"kind": "took-back", "seq": answered})

    assert left_behind(answer_and_take_back) < 5 * ROUNDS


def test_cases_that_are_over_leave_nothing_behind(client: TestClient) -> None:
    def call_out(number: int) -> None:
        case_id = opened(client, **{**DEAD, "at": f"2026-05-04T12:{number:02}"})["case"]["id"]
        added(client, case_id, ANSWER, {"kind": "closed", "outcome": "not-found"})

    assert left_behind(call_out) < 10 * ROUNDS, "one that is kept ready holds some hundreds"
