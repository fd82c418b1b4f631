"""What closed cases taught: for which cause each counts, from which version of the rates on."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "r0004"
down_revision = "r0003"


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "learned",
        sa.Column("org", sa.String(40), nullable=False),
        sa.Column("version", sa.Integer, nullable=False, autoincrement=False),
        sa.Column("case_id", sa.String(40)),
        sa.Column("cause", sa.String(80)),
        sa.Column("site_kind", sa.String(20)),
        sa.Column("at", sa.String(32), nullable=False),
        sa.PrimaryKeyConstraint("org", "version", name="pk_learned"),
        sa.ForeignKeyConstraint(["org"], ["organisations.id"], name="fk_learned_org", ondelete="CASCADE"),
    )
    op.create_index("ix_learned_org", "learned", ["org", "case_id", "version"])
