"""What happens when something goes away: a node, the database, the room on the disk, an engine worker."""

from __future__ import annotations

import os
import signal
import sqlite3
import threading
import time
from pathlib import Path
from typing import Any

import httpx2
from fastapi.testclient import TestClient
from sqlalchemy import event, text

from api.app import Settings, create_app
from api.storage.database import Database
from tests.api.case_calls import ANSWER, DEAD, add, kind_of, opened
from tests.api.serving import Node, serving, wait_until
from tests.postgres import Server

AWAY_S = 2.0
CRASHES, BETWEEN_CRASHES = 4, 15


def note(text_: str) -> dict[str, Any]:
    """Return a note."""
    return {"kind": "note", "text": text_}


def test_the_phone_goes_on_at_the_other_node_when_one_is_killed(postgres: Any) -> None:
    place = postgres.make_database("two_nodes_one_killed")
    doomed = Node(place).wait()
    with serving(Settings(place, demos=("small",))) as other, httpx2.Client(timeout=30) as phone:
        phone.base_url = httpx2.URL(doomed.address)
        first = opened(phone)["case"]
        add(phone, first["id"], ANSWER, key="answer-before-1")
        doomed.kill()
        phone.base_url = httpx2.URL(other)
        again = add(phone, first["id"], ANSWER, key="answer-before-1")
        after = add(phone, first["id"], note("goes on"), match=again.headers["etag"])

    assert after.status_code == 201
    assert len(after.json()["case"]["answers"]) == 1


def test_while_the_database_is_away_the_service_says_so_and_comes_back_by_itself(own_postgres: Server) -> None:
    """Stated behaviour: 503 with Retry-After at once, nothing kept, no restart needed."""
    settings = Settings(own_postgres.make_database("away"), demos=("small",))
    with TestClient(create_app(settings), raise_server_exceptions=False) as client:
        case_id = opened(client)["case"]["id"]
        own_postgres.stop()
        started = time.monotonic()
        refused = add(client, case_id, note("while away"), key="while-away-1")
        unready = client.get("/readyz")
        waited_s = time.monotonic() - started
        alive = client.get("/healthz")
        diagnosis = client.post("/v1/diagnoses", json={"symptoms": [{"id": "drive-dead"}]})
        time.sleep(AWAY_S)
        own_postgres.start()
        accepted = add(client, case_id, note("while away"), key="while-away-1")
        notes = client.get(f"/v1/cases/{case_id}").json()["notes"]

    assert (refused.status_code, kind_of(refused)) == (503, "database-away")
    assert int(refused.headers["retry-after"]) > 0
    assert waited_s < 20
    assert (unready.status_code, alive.status_code, diagnosis.status_code) == (503, 200, 200)
    assert accepted.status_code == 201
    assert [it["text"] for it in notes] == ["while away"]


def test_with_a_full_disk_nothing_is_half_kept_and_reading_goes_on(tmp_path: Path) -> None:
    """Stated behaviour: 503 of the kind disk-full; SQLite itself is told how large its file may become."""
    with TestClient(create_app(Settings(tmp_path / "a.db", demos=("small",))), raise_server_exceptions=False) as client:
        case_id = opened(client)["case"]["id"]
        database: Database = client.app.state.service.store.database  # type: ignore[attr-defined]
        with database.writing() as connection:
            pages = connection.execute(text("PRAGMA page_count")).scalar_one()
        limit_pages(database, pages)
        content = b"\x89PNG\r\n\x1a\n" + os.urandom(2_000_000)
        address = f"/v1/cases/{case_id}/attachments"
        refused = client.post(address, content=content, headers={"content-type": "image/png"})
        reading = client.get(f"/v1/cases/{case_id}")
        limit_pages(database, 1_000_000)
        accepted = client.post(address, content=content, headers={"content-type": "image/png"})

    assert (refused.status_code, kind_of(refused)) == (503, "disk-full")
    assert (reading.status_code, reading.json()["attachments"], reading.json()["version"]) == (200, [], 1)
    assert accepted.status_code == 201


def limit_pages(database: Database, most: int) -> None:
    """Let the file grow to so many pages and no further."""
    with database.alone() as engine:
        engine.dispose()
        event.listen(engine, "connect", lambda connection, _: connection.execute(f"PRAGMA max_page_count = {most}"))


def test_a_stranger_who_holds_the_file_stops_no_reader_and_is_waited_for(tmp_path: Path) -> None:
    """Stated behaviour: a write waits 10 s for whoever else has the file, then it is refused with 503."""
    path = tmp_path / "a.db"
    with TestClient(create_app(Settings(path, demos=("small",))), raise_server_exceptions=False) as client:
        case_id = opened(client)["case"]["id"]
        stranger = sqlite3.connect(path, isolation_level=None, check_same_thread=False)
        stranger.execute("BEGIN IMMEDIATE")
        release = threading.Timer(1.0, stranger.rollback)
        release.start()
        reading = client.get(f"/v1/cases/{case_id}")
        accepted = add(client, case_id, note("after"))
        release.join()
        stranger.close()

    assert (reading.status_code, accepted.status_code) == (200, 201)


def test_engine_workers_killed_under_load_lose_no_answer(tmp_path: Path) -> None:
    """Stated behaviour: a request is retried on a new worker, or refused with 503; and work goes on.

    How soon it goes on is printed by `python -m tests.bench.load --kill-workers`.
    """
    with TestClient(create_app(Settings(tmp_path / "a.db", demos=("small",), workers=2))) as client:
        pool = client.app.state.service.desk.pool  # type: ignore[attr-defined]
        statuses: list[int] = []
        stop = threading.Event()

        def ask() -> None:
            number = 0
            while not stop.is_set():
                number += 1
                at = f"2026-05-{1 + number % 28:02}T{number % 24:02}:00"  # another time each, so that rules run
                statuses.append(client.post("/v1/diagnoses", json={**DEAD, "at": at}).status_code)

        crowd = [threading.Thread(target=ask) for _ in range(3)]
        for it in crowd:
            it.start()
        try:
            for _ in range(CRASHES):
                wait_for_more(statuses, BETWEEN_CRASHES)
                for pid in pool.pids:
                    os.kill(pid, signal.SIGSEGV)
            wait_for_more(statuses, BETWEEN_CRASHES)
        finally:
            stop.set()
            for it in crowd:
                it.join()

    assert set(statuses) <= {200, 503}
    assert statuses.count(503) <= CRASHES * len(crowd), "only those that were at a worker that crashed, and at its next"


def wait_for_more(statuses: list[int], more: int) -> None:
    """Return when so many more requests were answered, and not refused."""
    enough = statuses.count(200) + more
    wait_until(lambda: statuses.count(200) >= enough)


def test_a_clock_that_jumps_back_reorders_nothing(tmp_path: Path) -> None:
    """Stated behaviour: events are ordered by their number; times are only told."""
    with TestClient(create_app(Settings(tmp_path / "a.db", demos=("small",)))) as client:
        case_id = opened(client)["case"]["id"]
        add(client, case_id, note("one"))
        database: Database = client.app.state.service.store.database  # type: ignore[attr-defined]
        with database.writing() as connection:
            connection.execute(text("UPDATE case_events SET at = '2190-01-01T00:00:00.000Z'"))
            connection.execute(text("UPDATE cases SET opened_at = '2190-01-01T00:00:00.000Z'"))
        add(client, case_id, note("two"), {"kind": "closed", "outcome": "called-off"})
        notes = client.get(f"/v1/cases/{case_id}").json()["notes"]
        fleet = client.get("/v1/fleet").json()

    assert [it["text"] for it in notes] == ["one", "two"]
    assert fleet["mean_minutes"] == 0
