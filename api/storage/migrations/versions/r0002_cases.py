"""Organisations and people, versions of sites, cases, webhooks; what was there goes to one organisation."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "r0002"
down_revision = "r0001"

SEARCH = {
    "sqlite": (
        "CREATE VIRTUAL TABLE case_index USING fts5(body, content='case_texts', content_rowid='id', "
        "tokenize='unicode61 remove_diacritics 2')",
        "CREATE TRIGGER case_texts_added AFTER INSERT ON case_texts BEGIN "
        "INSERT INTO case_index(rowid, body) VALUES (new.id, new.body); END",
        "CREATE TRIGGER case_texts_gone AFTER DELETE ON case_texts BEGIN "
        "INSERT INTO case_index(case_index, rowid, body) VALUES ('delete', old.id, old.body); END",
        "CREATE TRIGGER case_texts_changed AFTER UPDATE ON case_texts BEGIN "
        "INSERT INTO case_index(case_index, rowid, body) VALUES ('delete', old.id, old.body); "
        "INSERT INTO case_index(rowid, body) VALUES (new.id, new.body); END",
    ),
    "postgresql": ("CREATE INDEX ix_case_texts_body ON case_texts USING gin (to_tsvector('simple', body))",),
}
"""What makes the texts of cases searchable; neither database knows the other's way."""


def upgrade() -> None:
    """Make the tables and move what the first release kept into them."""
    op.rename_table("sites", "first_sites")
    op.rename_table("heard", "first_heard")
    make_people()
    make_sites()
    move_first_release()
    make_cases()
    make_webhooks()
    for statement in SEARCH[op.get_bind().dialect.name]:
        op.execute(statement)


def move_first_release() -> None:
    """Give what was kept before there were organisations to the one called local."""
    now = "to_char(now() AT TIME ZONE 'UTC', 'YYYY-MM-DD\"T\"HH24:MI:SS\"Z\"')"
    if op.get_bind().dialect.name == "sqlite":
        now = "strftime('%Y-%m-%dT%H:%M:%SZ', 'now')"
    op.execute(
        f"INSERT INTO organisations (id, name, created_at, last_case) VALUES ('local', 'This machine', {now}, 0)"
    )
    op.execute(
        "INSERT INTO sites (org, id, name, description, demo, version) "
        "SELECT 'local', id, name, description, demo, version FROM first_sites"
    )
    op.execute(
        "INSERT INTO site_versions (org, site, version, name, description, stored_at, stored_by) "
        f"SELECT 'local', id, version, name, description, {now}, 'unknown' FROM first_sites"
    )
    op.execute(
        "INSERT INTO heard (org, heard_at, site, text) "
        "SELECT 'local', heard_at, site, text FROM first_heard ORDER BY id"
    )
    op.drop_table("first_sites")
    op.drop_table("first_heard")


def make_people() -> None:
    """Make the tables of who may do what, and who did."""
    op.create_table(
        "organisations",
        sa.Column("id", sa.String(length=40), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("created_at", sa.String(length=32), nullable=False),
        sa.Column("last_case", sa.Integer(), nullable=False),
        sa.Column("retention_days", sa.Integer(), nullable=True),
        sa.PrimaryKeyConstraint("id", name=("pk_organisations")),
    )
    op.create_table(
        "people",
        sa.Column("id", sa.String(length=40), nullable=False),
        sa.Column("org", sa.String(length=40), nullable=False),
        sa.Column("login", sa.String(length=120), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("role", sa.String(length=20), nullable=False),
        sa.Column("password", sa.Text(), nullable=True),
        sa.Column("created_at", sa.String(length=32), nullable=False),
        sa.Column("disabled_at", sa.String(length=32), nullable=True),
        sa.ForeignKeyConstraint(["org"], ["organisations.id"], name=("fk_people_org"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=("pk_people")),
        sa.UniqueConstraint("login", name=("uq_people_login")),
    )
    op.create_table(
        "api_keys",
        sa.Column("id", sa.String(length=40), nullable=False),
        sa.Column("org", sa.String(length=40), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("scopes", sa.Text(), nullable=False),
        sa.Column("created_at", sa.String(length=32), nullable=False),
        sa.Column("created_by", sa.String(length=80), nullable=False),
        sa.Column("expires_at", sa.String(length=32), nullable=False),
        sa.Column("revoked_at", sa.String(length=32), nullable=True),
        sa.ForeignKeyConstraint(["org"], ["organisations.id"], name=("fk_api_keys_org"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=("pk_api_keys")),
    )
    op.create_table(
        "sessions",
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("person", sa.String(length=40), nullable=False),
        sa.Column("created_at", sa.String(length=32), nullable=False),
        sa.Column("expires_at", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(["person"], ["people.id"], name=("fk_sessions_person"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("digest", name=("pk_sessions")),
    )
    op.create_table(
        "sign_in_links",
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("person", sa.String(length=40), nullable=False),
        sa.Column("expires_at", sa.String(length=32), nullable=False),
        sa.Column("used_at", sa.String(length=32), nullable=True),
        sa.ForeignKeyConstraint(["person"], ["people.id"], name=("fk_sign_in_links_person"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("digest", name=("pk_sign_in_links")),
    )
    op.create_table(
        "audit",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("org", sa.String(length=40), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.Column("who", sa.String(length=80), nullable=False),
        sa.Column("action", sa.String(length=60), nullable=False),
        sa.Column("target", sa.String(length=120), nullable=False),
        sa.Column("detail", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=("pk_audit")),
    )
    op.create_index(("ix_audit_org"), "audit", ["org"], unique=False)


def make_sites() -> None:
    """Make the tables of sites and typed texts."""
    op.create_table(
        "sites",
        sa.Column("org", sa.String(length=40), nullable=False),
        sa.Column("id", sa.String(length=80), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("description", sa.Text(), nullable=False),
        sa.Column("demo", sa.Boolean(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["org"], ["organisations.id"], name=("fk_sites_org"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("org", "id", name=("pk_sites")),
    )
    op.create_table(
        "site_versions",
        sa.Column("org", sa.String(length=40), nullable=False),
        sa.Column("site", sa.String(length=80), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("description", sa.Text(), nullable=False),
        sa.Column("stored_at", sa.String(length=32), nullable=False),
        sa.Column("stored_by", sa.String(length=80), nullable=False),
        sa.ForeignKeyConstraint(
            ["org", "site"], ["sites.org", "sites.id"], name=("fk_site_versions_org"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("org", "site", "version", name=("pk_site_versions")),
    )
    op.create_table(
        "heard",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("org", sa.String(length=40), nullable=False),
        sa.Column("heard_at", sa.String(length=40), nullable=False),
        sa.Column("site", sa.String(length=80), nullable=True),
        sa.Column("text", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["org"], ["organisations.id"], name=("fk_heard_org"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=("pk_heard")),
    )


def make_cases() -> None:
    """Make the tables of cases."""
    op.create_table(
        "cases",
        sa.Column("id", sa.String(length=40), nullable=False),
        sa.Column("org", sa.String(length=40), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("status", sa.String(length=20), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("site", sa.String(length=80), nullable=True),
        sa.Column("symptom", sa.String(length=80), nullable=True),
        sa.Column("leading_cause", sa.String(length=80), nullable=True),
        sa.Column("confirmed_cause", sa.String(length=80), nullable=True),
        sa.Column("confirmed_part", sa.String(length=80), nullable=True),
        sa.Column("opened_at", sa.String(length=32), nullable=False),
        sa.Column("updated_at", sa.String(length=32), nullable=False),
        sa.Column("closed_at", sa.String(length=32), nullable=True),
        sa.Column("opened_by", sa.String(length=80), nullable=False),
        sa.Column("visits", sa.Integer(), nullable=False),
        sa.Column("answers", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["org"], ["organisations.id"], name=("fk_cases_org"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=("pk_cases")),
        sa.UniqueConstraint("org", "number", name=("uq_cases_org")),
    )
    op.create_index("ix_cases_org_status", "cases", ["org", "status", "id"], unique=False)
    op.create_table(
        "case_events",
        sa.Column("case_id", sa.String(length=40), nullable=False),
        sa.Column("seq", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("kind", sa.String(length=30), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.Column("by", sa.String(length=80), nullable=False),
        sa.Column("data", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["case_id"], ["cases.id"], name=("fk_case_events_case_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("case_id", "seq", name=("pk_case_events")),
    )
    op.create_table(
        "attachments",
        sa.Column("id", sa.String(length=40), nullable=False),
        sa.Column("case_id", sa.String(length=40), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("media_type", sa.String(length=60), nullable=False),
        sa.Column("size_bytes", sa.Integer(), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("added_at", sa.String(length=32), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(["case_id"], ["cases.id"], name=("fk_attachments_case_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=("pk_attachments")),
    )
    op.create_table(
        "case_texts",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("case_id", sa.String(length=40), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["case_id"], ["cases.id"], name=("fk_case_texts_case_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=("pk_case_texts")),
        sa.UniqueConstraint("case_id", name=("uq_case_texts_case_id")),
    )
    op.create_table(
        "case_features",
        sa.Column("case_id", sa.String(length=40), nullable=False),
        sa.Column("feature", sa.String(length=200), nullable=False),
        sa.ForeignKeyConstraint(["case_id"], ["cases.id"], name=("fk_case_features_case_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("case_id", "feature", name=("pk_case_features")),
    )
    op.create_index(("ix_case_features_feature"), "case_features", ["feature"], unique=False)
    op.create_table(
        "done_requests",
        sa.Column("org", sa.String(length=40), nullable=False),
        sa.Column("who", sa.String(length=80), nullable=False),
        sa.Column("key", sa.String(length=200), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.Column("status", sa.Integer(), nullable=False),
        sa.Column("answer", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("org", "who", "key", name=("pk_done_requests")),
    )


def make_webhooks() -> None:
    """Make the tables of webhooks."""
    op.create_table(
        "webhooks",
        sa.Column("id", sa.String(length=40), nullable=False),
        sa.Column("org", sa.String(length=40), nullable=False),
        sa.Column("url", sa.Text(), nullable=False),
        sa.Column("secret", sa.Text(), nullable=False),
        sa.Column("kinds", sa.Text(), nullable=False),
        sa.Column("created_at", sa.String(length=32), nullable=False),
        sa.Column("disabled_at", sa.String(length=32), nullable=True),
        sa.ForeignKeyConstraint(["org"], ["organisations.id"], name=("fk_webhooks_org"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=("pk_webhooks")),
    )
    op.create_table(
        "deliveries",
        sa.Column("id", sa.String(length=40), nullable=False),
        sa.Column("webhook", sa.String(length=40), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("created_at", sa.String(length=32), nullable=False),
        sa.Column("attempts", sa.Integer(), nullable=False),
        sa.Column("next_at", sa.String(length=32), nullable=True),
        sa.Column("delivered_at", sa.String(length=32), nullable=True),
        sa.Column("last_status", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["webhook"], ["webhooks.id"], name=("fk_deliveries_webhook"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=("pk_deliveries")),
    )
    op.create_index(("ix_deliveries_next_at"), "deliveries", ["next_at"], unique=False)
