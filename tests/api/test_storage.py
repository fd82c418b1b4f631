"""The database on SQLite and on PostgreSQL: tables, old releases, backups, one writer at a time."""

from __future__ import annotations

import shutil
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from sqlalchemy import insert, text

from api.cli.where import DATABASE
from api.storage.backup import back_up, check_file, restore
from api.storage.database import BadDatabase, open_database
from api.storage.migrate import latest_revision, revision_of, upgrade
from api.storage.tables import AUDIT, METADATA
from api.store import Store, open_store
from tests.api.databases import KINDS
from tests.api.first_release import write_first_release

Places = Callable[[str], Path | str]


def filled(place: Path | str) -> Store:
    """Return an open store with a site of two versions, a typed text and a line of the audit log."""
    store = open_store(place)
    store.put_site("gym", "Gym", {"name": "Gym"})
    store.put_site("gym", "Gym hall", {"name": "Gym hall"}, by="someone")
    store.hear("Dachfenster schließt nicht, “klemmt”", "gym")
    with store.database.writing() as connection:
        row = {"org": "local", "at": "2026-05-04", "who": "someone", "action": "a", "target": "t", "detail": ""}
        connection.execute(insert(AUDIT).values(**row))
    return store


def everything(store: Store) -> dict[str, list[tuple[object, ...]]]:
    """Return all rows of all tables."""
    with store.database.reading() as connection:
        return {
            table.name: sorted((tuple(row) for row in connection.execute(table.select())), key=repr)
            for table in METADATA.sorted_tables
        }


def test_the_tables_are_those_the_code_speaks_of(place: Path | str) -> None:
    store = open_store(place)
    with store.database.reading() as connection:
        options = {"include_name": lambda name, kind, _: kind != "table" or not name.startswith("case_index")}
        context = MigrationContext.configure(connection, opts=options)
        differences = [it for it in compare_metadata(context, METADATA) if "case_texts_body" not in repr(it)]
        assert revision_of(connection) == latest_revision()
    store.close()

    assert differences == []


def test_sqlite_writes_ahead_and_minds_foreign_keys(tmp_path: Path) -> None:
    store = open_store(tmp_path / "a.db")
    with store.database.writing() as connection:
        found = [connection.execute(text(f"PRAGMA {it}")).scalar() for it in ("journal_mode", "foreign_keys")]
    store.close()

    assert found == ["wal", 1]


def test_a_site_keeps_its_versions_and_who_stored_them(place: Path | str) -> None:
    store = filled(place)
    versions = store.site_versions("gym")
    store.close()

    assert [(it.version, it.name, it.stored_by) for it in versions] == [(1, "Gym", "local"), (2, "Gym hall", "someone")]


def test_a_database_of_the_first_release_opens_with_all_it_held(tmp_path: Path) -> None:
    path = tmp_path / "old.db"
    write_first_release(path)
    store = open_store(path)
    sites, heard, versions = store.sites(), store.heard(), store.site_versions("gym")
    store.close()

    assert [(it.id, it.name, it.demo, it.version) for it in sites] == [
        ("gym", "Gym hall", False, 2),
        ("shed", "Shed", True, 1),
    ]
    assert heard == ["roof vent wont shut", "the flurble has gone sideways"]
    assert [(it.version, it.description["name"]) for it in versions] == [(2, "Gym hall")]


def test_a_database_of_a_newer_release_is_refused_with_what_to_do(place: Path | str) -> None:
    store = open_store(place)
    with store.database.writing() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = 'r9999'"))
    store.close()

    with pytest.raises(BadDatabase, match="newer release"):
        open_store(place)


def test_nodes_that_start_together_bring_one_database_up_to_date_once(place: Path | str) -> None:
    program = "import sys; from api.cli.where import *; from api.store import open_store; "
    program += "from pathlib import Path; at = sys.argv[1]; open_store(at if '://' in at else Path(at)).close()"
    nodes = [subprocess.Popen([sys.executable, "-c", program, str(place)], stderr=subprocess.PIPE) for _ in range(3)]
    told = [node.communicate()[1] for node in nodes]

    assert [node.returncode for node in nodes] == [0, 0, 0], told


@pytest.mark.parametrize("source", KINDS)
@pytest.mark.parametrize("target", KINDS)
def test_a_backup_of_either_restores_into_either(
    source: str, target: str, new_database: Places, tmp_path: Path
) -> None:
    before = filled(new_database(source))
    wanted = everything(before)
    copy = tmp_path / "backup.db"
    back_up(before.database, copy)
    before.close()
    database = open_database(new_database(target))
    restore(copy, database)
    after = Store(database)
    found = everything(after)
    after.put_site("gym", "Gym again", {"name": "Gym again"})
    after.hear("one more", None)
    after.close()

    assert found == wanted
    assert {it.name for it in tmp_path.iterdir() if it.is_file()} == {"backup.db"}


def test_a_backup_taken_while_others_write_is_whole(tmp_path: Path) -> None:
    store = open_store(tmp_path / "busy" / "a.db")
    stop = threading.Event()

    def write() -> None:
        while not stop.is_set():
            store.put_site("gym", "Gym", {"name": "Gym"})

    writer = threading.Thread(target=write)
    writer.start()
    try:
        for number in range(5):
            back_up(store.database, tmp_path / f"{number}.db")
    finally:
        stop.set()
        writer.join()
        store.close()

    for number in range(5):
        check_file(tmp_path / f"{number}.db")
        with sqlite3.connect(tmp_path / f"{number}.db") as copy:
            versions = copy.execute("SELECT max(version), count(*) FROM site_versions").fetchone()
            current = copy.execute("SELECT version FROM sites").fetchone() or (None,)
        copy.close()
        assert versions[0] == current[0]
        assert versions[0] in (None, versions[1])


def test_a_backup_of_the_first_release_restores(place: Path | str, tmp_path: Path) -> None:
    write_first_release(tmp_path / "old.db")
    database = open_database(place)
    restore(tmp_path / "old.db", database)
    heard = Store(database).heard()
    database.close()

    assert len(heard) == 2


def test_a_damaged_backup_is_refused(tmp_path: Path) -> None:
    filled(tmp_path / "a" / "a.db").close()
    whole = (tmp_path / "a" / "a.db").read_bytes()
    (tmp_path / "cut.db").write_bytes(whole[: len(whole) // 2])
    (tmp_path / "other.db").write_bytes(b"not a database at all" * 500)
    flipped = bytearray(whole)
    flipped[8192:12288] = bytes(4096)
    (tmp_path / "flipped.db").write_bytes(flipped)

    for name in ("cut.db", "other.db", "flipped.db", "absent.db"):
        with pytest.raises(BadDatabase):
            check_file(tmp_path / name)


def test_nothing_is_restored_over_a_database_that_holds_something(place: Path | str, tmp_path: Path) -> None:
    store = filled(place)
    back_up(store.database, tmp_path / "b.db")
    with pytest.raises(BadDatabase, match="not empty"):
        restore(tmp_path / "b.db", store.database)
    with pytest.raises(BadDatabase, match="there already"):
        back_up(store.database, tmp_path / "b.db")
    store.close()


@pytest.mark.parametrize("address", ["", "mysql://here/x", "sqlite://", "not an address", "postgresql+other://x"])
def test_an_address_that_is_neither_is_refused_with_what_to_write(address: str) -> None:
    if address == "postgresql+other://x":
        open_database(address).close()  # whatever the driver, ours is used
        return
    with pytest.raises(BadDatabase, match="postgresql://"):
        open_database(address)


def test_a_file_that_is_no_database_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a.db").write_text("a shopping list, long enough to be read as a page header of some sort" * 20)

    with pytest.raises(BadDatabase, match="not a database"):
        open_database(tmp_path / "a.db")


def test_writers_of_several_processes_wait_for_each_other(tmp_path: Path) -> None:
    path = tmp_path / "a.db"
    open_store(path).close()
    program = (
        "import sys; from pathlib import Path; from api.store import open_store; s = open_store(Path(sys.argv[1]))\n"
    )
    program += "for _ in range(50): s.put_site('gym', 'Gym', {'name': 'Gym'})"
    writers = [subprocess.Popen([sys.executable, "-c", program, str(path)]) for _ in range(3)]
    assert [it.wait() for it in writers] == [0, 0, 0]
    store = open_store(path)
    versions = store.site_versions("gym")
    store.close()

    assert [it.version for it in versions] == list(range(1, 151))


def test_the_command_backs_up_and_restores(tmp_path: Path) -> None:
    filled(tmp_path / "one" / DATABASE).close()
    ventsleuth = [sys.executable, "-c", "from api.cli.main import main; main()", "data"]
    copy = str(tmp_path / "b.db")
    saved = subprocess.run(
        [*ventsleuth, "backup", copy, "--data", str(tmp_path / "one")], capture_output=True, text=True
    )
    shutil.rmtree(tmp_path / "one")
    back = subprocess.run(
        [*ventsleuth, "restore", copy, "--data", str(tmp_path / "two")], capture_output=True, text=True
    )
    store = open_store(tmp_path / "two" / DATABASE)
    sites = store.sites()
    store.close()

    assert (saved.returncode, back.returncode) == (0, 0), saved.stderr + back.stderr
    assert [it.name for it in sites] == ["Gym hall"]


def test_both_databases_come_up_to_date_from_none_twice_without_harm(place: Path | str) -> None:
    database = open_database(place)
    upgrade(database)
    upgrade(database)
    with database.reading() as connection:
        assert revision_of(connection) == latest_revision()
    database.close()
