"""The service on a database of its own, as its callers meet it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from api.app import Settings, create_app
from tests.api.databases import new_database, own_postgres, place, postgres

__all__ = ["new_database", "own_postgres", "place", "postgres"]


@pytest.fixture(scope="package")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """Return a client of a running service with the small and medium demo sites."""
    database: Path = tmp_path_factory.mktemp("service") / "ventsleuth.db"
    with TestClient(create_app(Settings(database, demos=("small", "medium")))) as client:
        yield client
