"""The live overview of a class: told of every answer, also from another node, until the class is closed."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import ExitStack
from typing import Any

import httpx2
import pytest

from api.app import Settings
from tests.api.databases import KINDS
from tests.api.serving import read_messages, serving

QUIZ = {"site": "small", "questions": 2, "level": 1, "seed": 3, "kinds": ["reading-here"]}


@pytest.fixture(scope="module", params=KINDS)
def lines(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[list[httpx2.Client]]:
    """Return clients of a service on each kind of database; on PostgreSQL of two nodes on one."""
    place: Any = tmp_path_factory.mktemp("class") / "class.db"
    nodes = 1
    if request.param == "postgresql":
        place, nodes = request.getfixturevalue("postgres").make_database("class"), 2
    with ExitStack() as stack:
        where = [stack.enter_context(serving(Settings(place, demos=("small",)))) for _ in range(nodes)]
        yield [stack.enter_context(httpx2.Client(base_url=it, timeout=20)) for it in where]


def opened(line: httpx2.Client) -> str:
    """Return the code of a class that takes a quiz."""
    quiz = line.post("/v1/quizzes", json=QUIZ).json()["id"]
    return str(line.post("/v1/classes", json={"quiz": quiz}).json()["code"])


def test_an_answer_is_told_as_it_is_given_wherever_it_is_given(lines: list[httpx2.Client]) -> None:
    trainer, learner = lines[0], lines[-1]
    code = opened(trainer)
    with trainer.stream("GET", f"/v1/classes/{code}/stream") as stream:
        told = stream.iter_lines()
        at_first = read_messages(told, 1)[0]["data"]
        sitting = learner.post("/v1/sittings", json={"code": code}).json()
        joined = read_messages(told, 1)[0]["data"]
        started = time.monotonic()
        path = f"/v1/sittings/{sitting['id']}/answers/{sitting['questions'][0]['id']}"
        learner.put(path, json={"given": ["A"]}).raise_for_status()
        answered = read_messages(told, 1)[0]["data"]
        waited_s = time.monotonic() - started

    assert stream.headers["content-type"].startswith("text/event-stream")
    assert [len(it["learners"]) for it in (at_first, joined, answered)] == [0, 1, 1]
    assert [it["learners"][0]["answered"] for it in (joined, answered)] == [0, 1]
    assert waited_s < 4, "it came by looking again, not by being told"


def test_the_stream_ends_with_the_class(lines: list[httpx2.Client]) -> None:
    code = opened(lines[0])
    with lines[0].stream("GET", f"/v1/classes/{code}/stream") as stream:
        told = stream.iter_lines()
        read_messages(told, 1)
        lines[-1].delete(f"/v1/classes/{code}").raise_for_status()
        closed = read_messages(told, 1)[0]["data"]

        assert closed["is_open"] is False
        assert [it for it in told if it] == []


def test_a_class_that_is_not_there_has_no_stream(lines: list[httpx2.Client]) -> None:
    assert lines[0].get("/v1/classes/ZZZZZZ/stream").status_code == 404
