"""Find cases: lists with a cursor, words in them, and those that are like one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from math import log
from typing import Any

from sqlalchemy import func, select, text

from api.cases.record import CaseRow, Records, case_row
from api.cases.words import folded
from api.storage.tables import CASE_FEATURES, CASE_TEXTS, CASES

SIMILAR_SHOWN = 10
SIMILAR_WEIGHED = 200

WITH_WORDS = {
    True: "id IN (SELECT rowid FROM case_index WHERE case_index MATCH :sought)",
    False: "to_tsvector('simple', body) @@ to_tsquery('simple', :sought)",
}
"""The condition that the text of a case holds all words, on SQLite (true) and PostgreSQL."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which cases are asked for; a field that is None leaves nothing out."""

    status: str | None = None
    site: str | None = None
    cause: str | None = None
    words: str | None = None
    cursor: str | None = None
    most: int = 50


@dataclass(frozen=True, slots=True)
class Similar:
    """A case with its likeness (0 to 1) and the features it shares."""

    row: CaseRow
    likeness: float
    shares: tuple[str, ...]


def list_cases(records: Records, org: str, wanted: Wanted) -> tuple[list[CaseRow], str | None]:
    """Return cases, newest first, and the cursor of those that follow."""
    found = select(CASES).where(CASES.c.org == org).order_by(CASES.c.id.desc()).limit(wanted.most + 1)
    for column, value in ((CASES.c.status, wanted.status), (CASES.c.site, wanted.site)):
        found = found if value is None else found.where(column == value)
    if wanted.cause is not None:
        found = found.where(func.coalesce(CASES.c.confirmed_cause, CASES.c.leading_cause) == wanted.cause)
    if wanted.cursor is not None:
        found = found.where(CASES.c.id < wanted.cursor)
    if wanted.words is not None:
        sought = sought_words(wanted.words, records.database.is_sqlite)
        if not sought:
            return [], None
        holding = text(WITH_WORDS[records.database.is_sqlite]).bindparams(sought=sought)
        found = found.where(CASES.c.id.in_(select(CASE_TEXTS.c.case_id).where(holding)))
    with records.database.reading() as connection:
        rows = [case_row(it) for it in connection.execute(found)]
    more = len(rows) > wanted.most
    return rows[: wanted.most], rows[wanted.most - 1].id if more else None


def sought_words(typed: str, is_sqlite: bool) -> str:
    """Return the search for all words typed, each the beginning of one in the case; empty when there is no word."""
    words = folded(typed)[:30]
    if is_sqlite:
        return " ".join(f'"{it}"*' for it in words)
    return " & ".join(f"{it}:*" for it in words)


def similar_cases(records: Records, org: str, case_id: str) -> list[Similar]:
    """Return the cases most like one: shared symptoms, circumstances and answers, rare ones counting more."""
    records.case(org, case_id)
    with records.database.reading() as connection:
        mine = set(connection.execute(_features_of([case_id])).scalars())
        near = list(connection.execute(_sharing(org, case_id, mine)).scalars())
        rows = {it.id: case_row(it) for it in connection.execute(select(CASES).where(CASES.c.id.in_(near)))}
        pairs = connection.execute(
            select(CASE_FEATURES.c.case_id, CASE_FEATURES.c.feature).where(CASE_FEATURES.c.case_id.in_(near))
        ).all()
    return _ranked(mine, rows, pairs)


def _sharing(org: str, case_id: str, features: Iterable[str]) -> Any:
    shared = func.count().label("shared")
    return (
        select(CASE_FEATURES.c.case_id)
        .join(CASES, CASES.c.id == CASE_FEATURES.c.case_id)
        .where(CASES.c.org == org, CASES.c.id != case_id, CASE_FEATURES.c.feature.in_(set(features)))
        .group_by(CASE_FEATURES.c.case_id)
        .order_by(shared.desc(), CASE_FEATURES.c.case_id.desc())
        .limit(SIMILAR_WEIGHED)
    )


def _features_of(cases: list[str]) -> Any:
    return select(CASE_FEATURES.c.feature).where(CASE_FEATURES.c.case_id.in_(cases))


def _ranked(mine: set[str], rows: dict[str, CaseRow], pairs: Iterable[Any]) -> list[Similar]:
    """Rank by weighted Jaccard likeness; a feature weighs by how rare it is among the cases compared."""
    theirs: dict[str, set[str]] = {it: set() for it in rows}
    for case_id, feature in pairs:
        theirs[case_id].add(feature)
    common = Counter(feature for found in (*theirs.values(), mine) for feature in found)
    weight = {it: log(1 + (len(rows) + 1) / count) for it, count in common.items()}
    ranked = [
        Similar(rows[case_id], round(_likeness(mine, found, weight), 4), tuple(sorted(mine & found)))
        for case_id, found in theirs.items()
    ]
    return sorted(ranked, key=lambda it: (-it.likeness, it.row.confirmed_cause is None, it.row.id))[:SIMILAR_SHOWN]


def _likeness(mine: set[str], found: set[str], weight: dict[str, float]) -> float:
    return sum(weight[it] for it in mine & found) / sum(weight[it] for it in mine | found)
