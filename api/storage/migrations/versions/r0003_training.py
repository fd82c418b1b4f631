"""Quizzes, the classes that take them, what learners answered, and practice call-outs."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "r0003"
down_revision = "r0002"


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "quizzes",
        sa.Column("org", sa.String(40), nullable=False),
        sa.Column("id", sa.String(40), nullable=False),
        sa.Column("site", sa.Text, nullable=False),
        sa.Column("body", sa.Text, nullable=False),
        sa.Column("made_at", sa.String(32), nullable=False),
        sa.Column("made_by", sa.String(80), nullable=False),
        sa.PrimaryKeyConstraint("org", "id", name="pk_quizzes"),
        sa.ForeignKeyConstraint(["org"], ["organisations.id"], name="fk_quizzes_org", ondelete="CASCADE"),
    )
    op.create_table(
        "quiz_classes",
        sa.Column("code", sa.String(12), nullable=False),
        sa.Column("org", sa.String(40), nullable=False),
        sa.Column("quiz", sa.String(40), nullable=False),
        sa.Column("feedback", sa.String(10), nullable=False),
        sa.Column("opened_at", sa.String(32), nullable=False),
        sa.Column("ends_at", sa.String(32), nullable=False),
        sa.Column("closed_at", sa.String(32)),
        sa.PrimaryKeyConstraint("code", name="pk_quiz_classes"),
        sa.ForeignKeyConstraint(["org"], ["organisations.id"], name="fk_quiz_classes_org", ondelete="CASCADE"),
    )
    op.create_index("ix_quiz_classes_org", "quiz_classes", ["org"])
    make_answers()
    op.create_table(
        "practices",
        sa.Column("id", sa.String(40), nullable=False),
        sa.Column("org", sa.String(40), nullable=False),
        sa.Column("site", sa.String(80), nullable=False),
        sa.Column("body", sa.Text, nullable=False),
        sa.Column("began_at", sa.String(32), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_practices"),
        sa.ForeignKeyConstraint(["org"], ["organisations.id"], name="fk_practices_org", ondelete="CASCADE"),
    )
    op.create_index("ix_practices_org", "practices", ["org"])


def make_answers() -> None:
    """Make the tables of what learners do: a sitting of a class, and its answers."""
    op.create_table(
        "quiz_sittings",
        sa.Column("id", sa.String(40), nullable=False),
        sa.Column("code", sa.String(12), nullable=False),
        sa.Column("learner", sa.String(40), nullable=False),
        sa.Column("began_at", sa.String(32), nullable=False),
        sa.Column("finished_at", sa.String(32)),
        sa.PrimaryKeyConstraint("id", name="pk_quiz_sittings"),
        sa.ForeignKeyConstraint(["code"], ["quiz_classes.code"], name="fk_quiz_sittings_code", ondelete="CASCADE"),
    )
    op.create_index("ix_quiz_sittings_code", "quiz_sittings", ["code"])
    op.create_table(
        "quiz_answers",
        sa.Column("sitting", sa.String(40), nullable=False),
        sa.Column("item", sa.String(40), nullable=False),
        sa.Column("given", sa.Text, nullable=False),
        sa.Column("at", sa.String(32), nullable=False),
        sa.PrimaryKeyConstraint("sitting", "item", name="pk_quiz_answers"),
        sa.ForeignKeyConstraint(["sitting"], ["quiz_sittings.id"], name="fk_quiz_answers_sitting", ondelete="CASCADE"),
    )
