"""Changes that share a commit: each is kept whole or not at all, whatever becomes of the others."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Connection, event, text

from api.storage import together
from api.storage.database import Database, open_database
from api.storage.together import Together

CROWD = 12


@pytest.fixture
def database(tmp_path: Path) -> Iterator[Database]:
    """Return a database on SQLite with one table."""
    found = open_database(tmp_path / "a.db")
    with found.writing() as connection:
        connection.execute(text("CREATE TABLE kept (name TEXT PRIMARY KEY)"))
    yield found
    found.close()


def keep(name: str, *more: str) -> Callable[[Connection], str]:
    """Return a change that keeps these names and returns the first."""

    def work(connection: Connection) -> str:
        for it in (name, *more):
            connection.execute(text("INSERT INTO kept VALUES (:name)"), {"name": it})
        return name

    return work


def names(database: Database) -> list[str]:
    """Return the names that are kept."""
    with database.reading() as connection:
        return list(connection.execute(text("SELECT name FROM kept ORDER BY name")).scalars())


@contextmanager
def commits_counted(database: Database) -> Iterator[list[str]]:
    """Yield what grows with each commit of changes."""
    seen: list[str] = []
    with database.alone() as engine:
        event.listen(engine, "commit", lambda _: seen.append("commit"))
    yield seen


def all_at_once(database: Database, works: list[Callable[[Connection], Any]]) -> list[Any]:
    """Do the changes from a thread each, none before all wait, and return what each returned or raised."""
    found: list[Any] = [None] * len(works)

    def one(place: int) -> None:
        try:
            found[place] = database.kept(works[place])
        except Exception as error:
            found[place] = error

    with database.writing():  # so that all have to wait
        crowd = [threading.Thread(target=one, args=(it,)) for it in range(len(works))]
        for it in crowd:
            it.start()
        while len(database._together._waiting) < len(works) - 1:
            threading.Event().wait(0.01)
    for it in crowd:
        it.join()
    return found


def test_a_change_alone_is_kept_and_returns_what_it_returns(database: Database) -> None:
    assert database.kept(keep("one")) == "one"
    assert names(database) == ["one"]


def test_changes_that_wait_share_a_commit(database: Database) -> None:
    with commits_counted(database) as commits:
        found = all_at_once(database, [keep(f"{it:02}") for it in range(CROWD)])

    assert found == names(database) == [f"{it:02}" for it in range(CROWD)]
    assert len(commits) <= 3, "the one that blocked all, the first that waited, and all the others together"


def test_a_change_that_fails_takes_nothing_of_the_others_with_it(database: Database) -> None:
    database.kept(keep("there"))
    works = [keep("a"), keep("half", "there"), keep("b"), keep("c")]
    found = all_at_once(database, works)

    assert names(database) == ["a", "b", "c", "there"]
    assert [it for it in found if isinstance(it, str)] == ["a", "b", "c"]
    assert "UNIQUE" in str(found[1])


def test_when_the_commit_fails_each_is_tried_alone_and_hears_what_became_of_it(database: Database) -> None:
    def breaks_beside_others(connection: Connection) -> str:
        if connection.in_nested_transaction():
            connection.exec_driver_sql("ROLLBACK")  # as the database does by itself when the disk is full
            raise RuntimeError
        return keep("alone")(connection)

    found = all_at_once(database, [keep("a"), breaks_beside_others, keep("b"), keep("c")])

    assert found == ["a", "alone", "b", "c"]
    assert names(database) == ["a", "alone", "b", "c"]


def test_nobody_waits_for_ever_more_others(database: Database, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(together, "MOST_AT_ONCE", 4)
    with commits_counted(database) as commits:
        all_at_once(database, [keep(f"{it:02}") for it in range(CROWD)])

    assert len(names(database)) == CROWD
    assert len(commits) >= 1 + (CROWD - 1) // 4


def test_when_nothing_can_be_written_all_who_wait_hear_so_at_once() -> None:
    tries: list[str] = []
    all_wait = threading.Event()

    @contextmanager
    def writing() -> Iterator[Any]:
        tries.append("try")
        all_wait.wait(60)
        raise OSError("the file is held by somebody else")
        yield

    shared = Together(writing)
    heard: list[str] = []

    def one() -> None:
        try:
            shared.run(keep("never"))
        except OSError as error:
            heard.append(str(error))

    crowd = [threading.Thread(target=one) for _ in range(CROWD)]
    for it in crowd:
        it.start()
    while len(shared._waiting) < CROWD - 1:
        threading.Event().wait(0.01)
    all_wait.set()
    for it in crowd:
        it.join()

    assert heard == ["the file is held by somebody else"] * CROWD
    assert len(tries) == 2, "the first alone, and one for all the others"
