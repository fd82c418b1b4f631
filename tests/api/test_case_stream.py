"""The live view: what one does on a case the other sees, also after a broken line and from another node."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import ExitStack
from datetime import datetime, timedelta
from typing import Any

import httpx2
import pytest

from api.app import Settings
from tests.api.case_calls import add, opened
from tests.api.databases import KINDS
from tests.api.serving import Node, read_messages, seqs, serving


@pytest.fixture(scope="module", params=KINDS)
def address(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Return the address of a service on each kind of database."""
    place: Any = tmp_path_factory.mktemp("stream") / "stream.db"
    if request.param == "postgresql":
        place = request.getfixturevalue("postgres").make_database("stream")
    with serving(Settings(place, demos=("small",))) as where:
        yield where


@pytest.fixture
def line(address: str) -> Iterator[httpx2.Client]:
    """Return a client of it."""
    with httpx2.Client(base_url=address, timeout=20) as client:
        yield client


def note(text: str) -> dict[str, Any]:
    """Return a note."""
    return {"kind": "note", "text": text}


def test_events_come_as_they_are_added(line: httpx2.Client) -> None:
    case_id = opened(line)["case"]["id"]
    with line.stream("GET", f"/v1/cases/{case_id}/stream") as stream:
        lines = stream.iter_lines()
        first = read_messages(lines, 1)
        started = time.monotonic()
        add(line, case_id, note("one"))
        second = read_messages(lines, 1)
        waited_s = time.monotonic() - started

    assert stream.headers["content-type"].startswith("text/event-stream")
    assert seqs(first + second) == [1, 2]
    assert second[0]["data"]["data"]["text"] == "one"
    assert waited_s < 4, "it came by looking again, not by being told"


def test_a_broken_line_goes_on_after_the_last_event(line: httpx2.Client) -> None:
    case_id = opened(line)["case"]["id"]
    for number in range(4):
        add(line, case_id, note(str(number)))
    with line.stream("GET", f"/v1/cases/{case_id}/stream", headers={"Last-Event-ID": "3"}) as stream:
        found = read_messages(stream.iter_lines(), 2)

    assert seqs(found) == [4, 5]


def test_a_timer_rings_when_automatic_resumes(line: httpx2.Client) -> None:
    due = datetime.now() + timedelta(seconds=62)
    at = due.replace(second=0, microsecond=0)
    command = {"at": (at - timedelta(minutes=30)).strftime("%Y-%m-%dT%H:%M"), "command": "manual"}
    case = opened(line, site="small", symptoms=[{"id": "automatic-ignored"}], events=[command])["case"]

    assert case["resumes"]["at"] == at.strftime("%Y-%m-%dT%H:%M:%S")
    assert case["resumes"]["seconds_left"] <= 62


def test_a_reader_who_does_not_read_holds_up_nobody(line: httpx2.Client) -> None:
    case_id = opened(line)["case"]["id"]
    with line.stream("GET", f"/v1/cases/{case_id}/stream"):
        for number in range(30):
            assert add(line, case_id, note("x" * 3000 + str(number))).status_code == 201


def test_what_is_done_on_one_node_is_seen_on_another(postgres: Any) -> None:
    place = postgres.make_database("two_nodes")
    settings = Settings(place, demos=("small",))
    with ExitStack() as open_till_the_end:
        one, other = (
            open_till_the_end.enter_context(httpx2.Client(base_url=it, timeout=20))
            for it in [open_till_the_end.enter_context(serving(settings)) for _ in range(2)]
        )
        case_id = opened(one)["case"]["id"]
        stream = open_till_the_end.enter_context(other.stream("GET", f"/v1/cases/{case_id}/stream"))
        lines = stream.iter_lines()
        read_messages(lines, 1)
        started = time.monotonic()
        add(one, case_id, note("from here"))
        found = read_messages(lines, 1)
        waited_s = time.monotonic() - started

    assert seqs(found) == [2]
    assert waited_s < 4, "it came by looking again, not by being told"


def test_a_service_with_open_streams_stops_when_asked(tmp_path: Any) -> None:
    node = Node(str(tmp_path)).wait()
    with httpx2.Client(base_url=node.address, timeout=20) as client:
        case_id = opened(client)["case"]["id"]
        with client.stream("GET", f"/v1/cases/{case_id}/stream") as stream:
            read_messages(stream.iter_lines(), 1)
            started = time.monotonic()
            node.stop()

    assert time.monotonic() - started < 6
