"""Run the steps on the connection that the caller opened; Alembic loads this file."""

from __future__ import annotations

from alembic import context

from api.storage.tables import METADATA

context.configure(connection=context.config.attributes["connection"], target_metadata=METADATA, render_as_batch=True)
with context.begin_transaction():
    context.run_migrations()
