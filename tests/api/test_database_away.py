"""PostgreSQL that hangs or is cut off, which is worse than one that is gone: nothing comes back at all."""

from __future__ import annotations

import time
from concurrent.futures import ThreadPoolExecutor

import psycopg
import pytest
from fastapi.testclient import TestClient

from api.app import Settings, create_app
from api.storage import database, patience
from api.storage.database import open_database
from tests.api.case_calls import add, kind_of, opened
from tests.bench.away import take_away
from tests.postgres import Server

AT_ONCE = 45
"""More requests than the service has threads."""


def test_a_server_that_hangs_is_given_up_and_the_service_lives_on(
    own_postgres: Server, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Stated behaviour: 503 with Retry-After after 25 s (here 1 s), alive all the while, back by itself."""
    monkeypatch.setattr(database, "CONNECT_WITHIN_S", 2)
    settings = Settings(own_postgres.make_database("hangs"), demos=("small",))
    with (
        TestClient(create_app(settings), raise_server_exceptions=False) as client,
        ThreadPoolExecutor(AT_ONCE) as crowd,
    ):
        case_id = opened(client)["case"]["id"]
        monkeypatch.setattr(patience, "ANSWER_WITHIN_S", 1.0)
        own_postgres.freeze()
        try:
            note = {"kind": "note", "text": "meanwhile"}
            waiting = [crowd.submit(add, client, case_id, note, key=f"hanging-{it}") for it in range(AT_ONCE)]
            time.sleep(0.3)
            alive = client.get("/healthz")
            still_waiting = sum(not it.done() for it in waiting)
            refused = [it.result() for it in waiting]
        finally:
            own_postgres.thaw()
        accepted = add(client, case_id, note, key="hanging-0")
        notes = client.get(f"/v1/cases/{case_id}").json()["notes"]

    assert alive.status_code == 200
    assert still_waiting > 0
    assert {(it.status_code, kind_of(it)) for it in refused} == {(503, "database-away")}
    assert all("retry-after" in it.headers for it in refused)
    assert accepted.status_code == 201
    assert [it["text"] for it in notes] == ["meanwhile"]


def test_a_line_to_the_server_that_was_given_up_is_not_used_again(
    own_postgres: Server, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened_database = open_database(own_postgres.make_database("given_up"))
    with opened_database.reading() as connection:
        line = connection.connection.dbapi_connection
        monkeypatch.setattr(patience, "ANSWER_WITHIN_S", 0.2)
        with pytest.raises(psycopg.OperationalError, match="did not answer"):
            line.execute("SELECT pg_sleep(5)")  # type: ignore[union-attr]
        is_closed = line.closed  # type: ignore[union-attr]
    monkeypatch.undo()
    with opened_database.reading() as connection:
        answer = connection.exec_driver_sql("SELECT 1").scalar_one()
    opened_database.close()

    assert (is_closed, answer) == (True, 1)


def test_writers_and_watchers_go_on_by_themselves_after_the_database_was_away(own_postgres: Server) -> None:
    """The bench does the same for 30 s: `python -m tests.bench.away`."""
    found = take_away(own_postgres, own_postgres.make_database("away"), "stopped", seconds=2.5, around_s=0.5)

    assert set(found.statuses) == {201, 503}
    assert (found.lost, found.doubled, found.unwatched, found.without_advice) == (0, 0, 0, 0)
    assert found.same_process
    assert not found.ready_while_away
    assert found.back_after_s is not None
