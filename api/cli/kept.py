"""Open what a service keeps, for commands that read it or look after it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import click

from api.cli.where import database_at
from api.storage.tables import LOCAL
from api.store import Store, open_store

ORG_OPTION = click.option("--org", default=LOCAL, show_default=True, help="The organisation.")


@contextmanager
def open_data(data: str | None) -> Iterator[Store]:
    """Give the store that --data means, which has to be there."""
    store = open_store(database_at(data, must_exist=True))
    try:
        yield store
    finally:
        store.close()
