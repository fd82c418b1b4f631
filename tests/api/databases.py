"""Both kinds of database, so that a test says once what holds on each."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from api import system_packages
from tests.postgres import Server, find_programs, missing_message

KINDS = ("sqlite", "postgresql")
_NUMBERS = itertools.count(1)


@pytest.fixture(scope="session")
def postgres() -> Iterator[Server]:
    """Return a server of PostgreSQL; without its programs skip, or fail in CI."""
    programs = find_programs()
    if programs is None:
        (pytest.fail if system_packages.in_ci() else pytest.skip)(missing_message())
    server = Server(programs)
    yield server
    server.close()


@pytest.fixture
def new_database(request: pytest.FixtureRequest, tmp_path: Path) -> Callable[[str], Path | str]:
    """Return a function from a kind of database to the place of a new one."""

    def make(kind: str) -> Path | str:
        number = next(_NUMBERS)
        if kind == "sqlite":
            return tmp_path / f"database-{number}" / "ventsleuth.db"
        server: Server = request.getfixturevalue("postgres")
        return server.make_database(f"database_{number}")

    return make


@pytest.fixture(params=KINDS)
def place(request: pytest.FixtureRequest, new_database: Callable[[str], Path | str]) -> Path | str:
    """Return the place of a new database, of each kind in turn."""
    return new_database(request.param)


@pytest.fixture
def own_postgres() -> Iterator[Server]:
    """Return a server that the test may stop."""
    programs = find_programs()
    if programs is None:
        pytest.skip(missing_message())
    server = Server(programs)
    yield server
    server.close()
