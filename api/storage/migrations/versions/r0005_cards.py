"""Cards of learners, each under a code that is theirs alone."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "r0005"
down_revision = "r0004"


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "learners",
        sa.Column("code", sa.String(12), nullable=False),
        sa.Column("org", sa.String(40), nullable=False),
        sa.Column("body", sa.Text, nullable=False),
        sa.Column("began_at", sa.String(32), nullable=False),
        sa.Column("seen_at", sa.String(32), nullable=False),
        sa.PrimaryKeyConstraint("code", name="pk_learners"),
        sa.ForeignKeyConstraint(["org"], ["organisations.id"], name="fk_learners_org", ondelete="CASCADE"),
    )
    op.create_index("ix_learners_org", "learners", ["org"])
