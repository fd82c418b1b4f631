"""The tables of the first release: sites and typed texts of one user."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "r0001"
down_revision = None


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "sites",
        sa.Column("id", sa.String(80), nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("description", sa.Text, nullable=False),
        sa.Column("demo", sa.Boolean, nullable=False),
        sa.Column("version", sa.Integer, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_first_sites"),
    )
    op.create_table(
        "heard",
        sa.Column("id", sa.Integer, autoincrement=True, nullable=False),
        sa.Column("heard_at", sa.String(40), nullable=False),
        sa.Column("site", sa.String(80)),
        sa.Column("text", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_first_heard"),
    )
