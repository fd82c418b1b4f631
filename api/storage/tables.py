"""The tables of the service, the same on SQLite and PostgreSQL.

Times are RFC 3339 texts in UTC, which sort as they follow each other. Data that is only kept and handed back is JSON
text.
"""

from __future__ import annotations

from sqlalchemy import (
    Boolean,
    Column,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
)

LOCAL = "local"
"""The organisation of a service that one person uses on their own machine."""

NAMES = {
    "ix": "ix_%(table_name)s_%(column_0_name)s",
    "uq": "uq_%(table_name)s_%(column_0_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s",
    "pk": "pk_%(table_name)s",
}
METADATA = MetaData(naming_convention=NAMES)


def _of(table: str, key: str = "id", *, required: bool = True, primary: bool = False) -> Column[str]:
    """Return a column that points at a row of another table and goes when that row goes."""
    name = {"organisations": "org", "people": "person", "cases": "case_id", "webhooks": "webhook"}[table]
    target = ForeignKey(f"{table}.{key}", ondelete="CASCADE")
    return Column(name, String(40), target, nullable=not required, primary_key=primary)


def _time(name: str, *, required: bool = False) -> Column[str]:
    return Column(name, String(32), nullable=not required)


ORGANISATIONS = Table(
    "organisations",
    METADATA,
    Column("id", String(40), primary_key=True),
    Column("name", Text, nullable=False),
    _time("created_at", required=True),
    Column("last_case", Integer, nullable=False),
    Column("retention_days", Integer),
)
PEOPLE = Table(
    "people",
    METADATA,
    Column("id", String(40), primary_key=True),
    _of("organisations"),
    Column("login", String(120), nullable=False, unique=True),
    Column("name", Text, nullable=False),
    Column("role", String(20), nullable=False),
    Column("password", Text),
    _time("created_at", required=True),
    _time("disabled_at"),
)
API_KEYS = Table(
    "api_keys",
    METADATA,
    Column("id", String(40), primary_key=True),
    _of("organisations"),
    Column("name", Text, nullable=False),
    Column("digest", String(64), nullable=False),
    Column("scopes", Text, nullable=False),
    _time("created_at", required=True),
    Column("created_by", String(80), nullable=False),
    _time("expires_at", required=True),
    _time("revoked_at"),
)
SESSIONS = Table(
    "sessions",
    METADATA,
    Column("digest", String(64), primary_key=True),
    _of("people"),
    _time("created_at", required=True),
    _time("expires_at", required=True),
)
SIGN_IN_LINKS = Table(
    "sign_in_links",
    METADATA,
    Column("digest", String(64), primary_key=True),
    _of("people"),
    _time("expires_at", required=True),
    _time("used_at"),
)
AUDIT = Table(
    "audit",
    METADATA,
    Column("id", Integer, primary_key=True, autoincrement=True),
    Column("org", String(40), nullable=False, index=True),
    _time("at", required=True),
    Column("who", String(80), nullable=False),
    Column("action", String(60), nullable=False),
    Column("target", String(120), nullable=False),
    Column("detail", Text, nullable=False),
)
SITES = Table(
    "sites",
    METADATA,
    _of("organisations", primary=True),
    Column("id", String(80), primary_key=True),
    Column("name", Text, nullable=False),
    Column("description", Text, nullable=False),
    Column("demo", Boolean, nullable=False),
    Column("version", Integer, nullable=False),
)
SITE_VERSIONS = Table(
    "site_versions",
    METADATA,
    Column("org", String(40), primary_key=True),
    Column("site", String(80), primary_key=True),
    Column("version", Integer, primary_key=True),
    Column("name", Text, nullable=False),
    Column("description", Text, nullable=False),
    _time("stored_at", required=True),
    Column("stored_by", String(80), nullable=False),
    ForeignKeyConstraint(["org", "site"], ["sites.org", "sites.id"], ondelete="CASCADE"),
)
HEARD = Table(
    "heard",
    METADATA,
    Column("id", Integer, primary_key=True, autoincrement=True),
    _of("organisations"),
    Column("heard_at", String(40), nullable=False),
    Column("site", String(80)),
    Column("text", Text, nullable=False),
)
CASES = Table(
    "cases",
    METADATA,
    Column("id", String(40), primary_key=True),
    _of("organisations"),
    Column("number", Integer, nullable=False),
    Column("version", Integer, nullable=False),
    Column("status", String(20), nullable=False),
    Column("title", Text, nullable=False),
    Column("site", String(80)),
    Column("symptom", String(80)),
    Column("leading_cause", String(80)),
    Column("confirmed_cause", String(80)),
    Column("confirmed_part", String(80)),
    _time("opened_at", required=True),
    _time("updated_at", required=True),
    _time("closed_at"),
    Column("opened_by", String(80), nullable=False),
    Column("visits", Integer, nullable=False),
    Column("answers", Integer, nullable=False),
    UniqueConstraint("org", "number"),
    Index("ix_cases_org_status", "org", "status", "id"),
)
CASE_EVENTS = Table(
    "case_events",
    METADATA,
    _of("cases", primary=True),
    Column("seq", Integer, primary_key=True, autoincrement=False),
    Column("kind", String(30), nullable=False),
    _time("at", required=True),
    Column("by", String(80), nullable=False),
    Column("data", Text, nullable=False),
)
ATTACHMENTS = Table(
    "attachments",
    METADATA,
    Column("id", String(40), primary_key=True),
    _of("cases"),
    Column("name", Text, nullable=False),
    Column("media_type", String(60), nullable=False),
    Column("size_bytes", Integer, nullable=False),
    Column("sha256", String(64), nullable=False),
    _time("added_at", required=True),
    Column("content", LargeBinary, nullable=False),
)
CASE_TEXTS = Table(
    "case_texts",
    METADATA,
    Column("id", Integer, primary_key=True, autoincrement=True),
    Column("case_id", String(40), ForeignKey("cases.id", ondelete="CASCADE"), nullable=False, unique=True),
    Column("body", Text, nullable=False),
)
CASE_FEATURES = Table(
    "case_features",
    METADATA,
    _of("cases", primary=True),
    Column("feature", String(200), primary_key=True, index=True),
)
LEARNED = Table(
    "learned",
    METADATA,
    _of("organisations", primary=True),
    Column("version", Integer, primary_key=True, autoincrement=False),
    Column("case_id", String(40)),
    Column("cause", String(80)),
    Column("site_kind", String(20)),
    _time("at", required=True),
    Index("ix_learned_org", "org", "case_id", "version"),
)
"""For which cause each closed case counts, from a version on; no cause: it counts no more; no case: all begin anew.

A case that is past keeping goes without its row here, which says nothing of anybody.
"""

DONE_REQUESTS = Table(
    "done_requests",
    METADATA,
    Column("org", String(40), primary_key=True),
    Column("who", String(80), primary_key=True),
    Column("key", String(200), primary_key=True),
    Column("fingerprint", String(64), nullable=False),
    _time("at", required=True),
    Column("status", Integer, nullable=False),
    Column("answer", LargeBinary, nullable=False),
)
WEBHOOKS = Table(
    "webhooks",
    METADATA,
    Column("id", String(40), primary_key=True),
    _of("organisations"),
    Column("url", Text, nullable=False),
    Column("secret", Text, nullable=False),
    Column("kinds", Text, nullable=False),
    _time("created_at", required=True),
    _time("disabled_at"),
)
DELIVERIES = Table(
    "deliveries",
    METADATA,
    Column("id", String(40), primary_key=True),
    _of("webhooks"),
    Column("body", Text, nullable=False),
    _time("created_at", required=True),
    Column("attempts", Integer, nullable=False),
    Column("next_at", String(32), index=True),
    _time("delivered_at"),
    Column("last_status", Integer),
)
QUIZZES = Table(
    "quizzes",
    METADATA,
    _of("organisations", primary=True),
    Column("id", String(40), primary_key=True),
    Column("site", Text, nullable=False),
    Column("body", Text, nullable=False),
    _time("made_at", required=True),
    Column("made_by", String(80), nullable=False),
)
CLASSES = Table(
    "quiz_classes",
    METADATA,
    Column("code", String(12), primary_key=True),
    Column("org", String(40), ForeignKey("organisations.id", ondelete="CASCADE"), nullable=False, index=True),
    Column("quiz", String(40), nullable=False),
    Column("feedback", String(10), nullable=False),
    _time("opened_at", required=True),
    _time("ends_at", required=True),
    _time("closed_at"),
)
SITTINGS = Table(
    "quiz_sittings",
    METADATA,
    Column("id", String(40), primary_key=True),
    Column("code", String(12), ForeignKey("quiz_classes.code", ondelete="CASCADE"), nullable=False, index=True),
    Column("learner", String(40), nullable=False),
    _time("began_at", required=True),
    _time("finished_at"),
)
ANSWERS = Table(
    "quiz_answers",
    METADATA,
    Column("sitting", String(40), ForeignKey("quiz_sittings.id", ondelete="CASCADE"), primary_key=True),
    Column("item", String(40), primary_key=True),
    Column("given", Text, nullable=False),
    Column("at", String(32), nullable=False),
)
PRACTICES = Table(
    "practices",
    METADATA,
    Column("id", String(40), primary_key=True),
    Column("org", String(40), ForeignKey("organisations.id", ondelete="CASCADE"), nullable=False, index=True),
    Column("site", String(80), nullable=False),
    Column("body", Text, nullable=False),
    _time("began_at", required=True),
)
LEARNERS = Table(
    "learners",
    METADATA,
    Column("code", String(12), primary_key=True),
    Column("org", String(40), ForeignKey("organisations.id", ondelete="CASCADE"), nullable=False, index=True),
    Column("body", Text, nullable=False),
    _time("began_at", required=True),
    _time("seen_at", required=True),
)
