"""Count what recurs in cases: causes, parts and sites, how long they took, how many were done at the first visit."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from statistics import fmean
from typing import Any

from sqlalchemy import select

from api.storage.database import Database
from api.storage.tables import CASES


@dataclass(frozen=True, slots=True)
class Recurring:
    """Something that recurs: how often, and the mean minutes from opening to closing where cases are closed."""

    id: str
    cases: int
    mean_minutes: float | None


@dataclass(frozen=True, slots=True)
class Fleet:
    """What recurs; rates are None where there is nothing to take them of."""

    cases: int
    closed: int
    confirmed: int
    mean_minutes: float | None
    first_visit_rate: float | None
    causes: tuple[Recurring, ...]
    parts: tuple[Recurring, ...]
    sites: tuple[Recurring, ...]
    symptoms: tuple[Recurring, ...]


def count_fleet(database: Database, org: str, since: str | None, until: str | None) -> Fleet:
    """Return what recurs in the cases opened from `since` until before `until`."""
    columns = CASES.c
    found = select(
        columns.site,
        columns.symptom,
        columns.confirmed_cause,
        columns.confirmed_part,
        columns.opened_at,
        columns.closed_at,
        columns.status,
        columns.visits,
    ).where(columns.org == org)
    found = found if since is None else found.where(columns.opened_at >= since)
    found = found if until is None else found.where(columns.opened_at < until)
    with database.reading() as connection:
        return summarise_rows(connection.execute(found).all())


def summarise_rows(rows: Iterable[Any]) -> Fleet:
    """Return what recurs in rows of cases."""
    rows = list(rows)
    mended = [it for it in rows if it.status == "closed" and it.confirmed_cause]
    at_once = sum(it.visits == 1 for it in mended)
    parts = [(f"{it.site}: {it.confirmed_part}", it) for it in rows if it.confirmed_part and it.site]
    return Fleet(
        cases=len(rows),
        closed=sum(it.status == "closed" for it in rows),
        confirmed=sum(it.confirmed_cause is not None for it in rows),
        mean_minutes=_mean(rows),
        first_visit_rate=round(at_once / len(mended), 4) if mended else None,
        causes=_recurring((it.confirmed_cause, it) for it in rows),
        parts=_recurring(parts),
        sites=_recurring((it.site, it) for it in rows),
        symptoms=_recurring((it.symptom, it) for it in rows),
    )


def _recurring(pairs: Iterable[tuple[str | None, Any]]) -> tuple[Recurring, ...]:
    rows: dict[str, list[Any]] = defaultdict(list)
    for name, row in pairs:
        if name is not None:
            rows[name].append(row)
    found = [Recurring(name, len(those), _mean(those)) for name, those in rows.items()]
    return tuple(sorted(found, key=lambda it: (-it.cases, it.id)))


def _mean(rows: Iterable[Any]) -> float | None:
    minutes = [_minutes(it.opened_at, it.closed_at) for it in rows if it.closed_at]
    return round(fmean(minutes), 1) if minutes else None


def _minutes(opened: str, closed: str) -> float:
    seconds = (datetime.fromisoformat(closed) - datetime.fromisoformat(opened)).total_seconds()
    return max(0.0, seconds) / 60  # a clock that was set back makes no negative times
