"""Open the database, SQLite in a file or PostgreSQL at an address, for reading and for writing."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager, nullcontext
from pathlib import Path
from typing import Any, TypeVar

from sqlalchemy import Connection, Engine, create_engine, event, make_url
from sqlalchemy.exc import ArgumentError, SQLAlchemyError

from api.storage.patience import KEEP_ALIVE, PatientConnection
from api.storage.together import Together
from api.storage.write_lock import WriteLock
from diag.errors import DiagError

CONNECT_WITHIN_S = 5
STATEMENT_WITHIN_MS = 20_000
WAIT_FOR_LOCK_MS = 10_000
READERS = 8
MOST_CONNECTIONS = 40
POSTGRESQL = "postgresql+psycopg"
T = TypeVar("T")


class BadDatabase(DiagError):
    """The address of the database cannot be used, or there is none there."""


class Database:
    """One database. Many may read at a time; on SQLite one writes at a time, over all processes."""

    def __init__(
        self,
        readers: Engine,
        writers: Engine,
        lock: WriteLock | None = None,
        path: Path | None = None,
        address: str | None = None,
    ) -> None:
        self._readers, self._writers, self._lock = readers, writers, lock
        self._together = Together(self.writing)
        self.path = path
        """The file of an SQLite database; None on PostgreSQL."""
        self.address = address
        """Where PostgreSQL is, for a connection of one's own; None on SQLite."""

    @property
    def is_sqlite(self) -> bool:
        """Say whether this is SQLite."""
        return self.path is not None

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Yield a connection that sees one state of the database and changes nothing."""
        with self._readers.connect() as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """Yield a connection whose changes are all kept at the end, or none of them."""
        with self._lock or nullcontext(), self._writers.begin() as connection:
            yield connection

    def kept(self, work: Callable[[Connection], T]) -> T:
        """Return what the work returns, once all it changes is kept; raise what it raises, and then nothing is.

        As `writing`, but several threads may share one commit; the work may be called again, the earlier call undone.
        """
        if not self.is_sqlite:  # which has its own way of sharing commits
            with self.writing() as connection:
                return work(connection)
        result: T = self._together.run(work)
        return result

    @contextmanager
    def alone(self) -> Iterator[Engine]:
        """Yield the engine for changes to the tables; on SQLite nobody else writes meanwhile."""
        with self._lock or nullcontext():
            yield self._writers

    def close(self) -> None:
        """Let go of the database."""
        with self._lock or nullcontext():
            self._readers.dispose()
            self._writers.dispose()
        if self._lock:
            self._lock.close()


def open_database(where: Path | str) -> Database:
    """Return the database at a path (SQLite) or address (`sqlite:///…`, `postgresql://…`); raise BadDatabase."""
    if isinstance(where, Path):
        return _open_sqlite(where)
    try:
        url = make_url(where)
    except ArgumentError:
        raise BadDatabase("The database address cannot be read; write postgresql://USER@HOST/NAME.") from None
    if url.get_backend_name() == "sqlite" and url.database:
        return _open_sqlite(Path(url.database))
    if url.get_backend_name() != "postgresql":
        raise BadDatabase("The database is SQLite in a file or PostgreSQL; write postgresql://USER@HOST/NAME.")
    return _open_postgresql(url.set(drivername=POSTGRESQL).render_as_string(hide_password=False))


def _open_sqlite(path: Path) -> Database:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        lock = WriteLock(path.with_name(f"{path.name}-lock"))
    except OSError as error:
        raise BadDatabase(f"The database {path} cannot be opened: {error.strerror}.") from error
    readers = create_engine(f"sqlite:///{path}", pool_size=READERS, max_overflow=MOST_CONNECTIONS)
    writers = create_engine(f"sqlite:///{path}", pool_size=1, max_overflow=0)
    event.listen(readers, "connect", _set_up_reader)
    event.listen(writers, "connect", _set_up_writer)
    event.listen(writers, "begin", _begin_writing)
    try:
        with lock, writers.begin():  # makes the file, so that a reader finds one
            pass
    except SQLAlchemyError as error:
        raise BadDatabase(f"{path} is not a database that can be opened: {getattr(error, 'orig', error)}.") from None
    return Database(readers, writers, lock=lock, path=path)


def _open_postgresql(url: str) -> Database:
    engine = create_engine(
        url,
        pool_size=READERS,
        max_overflow=MOST_CONNECTIONS - READERS,
        pool_timeout=CONNECT_WITHIN_S,
        pool_pre_ping=True,
        connect_args={
            "connect_timeout": CONNECT_WITHIN_S,
            "options": f"-c statement_timeout={STATEMENT_WITHIN_MS} -c lock_timeout={WAIT_FOR_LOCK_MS}",
            **KEEP_ALIVE,
        },
    )
    event.listen(engine, "do_connect", _connect_patiently)
    return Database(engine, engine, address=make_url(url).set(drivername="postgresql").render_as_string(False))


def _connect_patiently(_: Any, __: Any, words: list[Any], options: dict[str, Any]) -> PatientConnection:
    return PatientConnection.connect(*words, **options)


def _set_up_writer(connection: Any, _: Any) -> None:
    # FULL: written through at each commit, so that a power cut loses nothing that was answered.
    connection.isolation_level = None
    settings = ("journal_mode = WAL", "synchronous = FULL", "foreign_keys = ON")
    for setting in (f"busy_timeout = {WAIT_FOR_LOCK_MS}", *settings):
        connection.execute(f"PRAGMA {setting}")


def _set_up_reader(connection: Any, _: Any) -> None:
    for setting in (f"busy_timeout = {WAIT_FOR_LOCK_MS}", "wal_autocheckpoint = 0", "query_only = ON"):
        connection.execute(f"PRAGMA {setting}")


def _begin_writing(connection: Connection) -> None:
    connection.exec_driver_sql("BEGIN IMMEDIATE")
