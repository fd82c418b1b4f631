"""Keep cases: append events in one transaction with all that hangs on them, and read them back."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import Connection, delete, insert, select, update

from api.cases.errors import StaleCase, UnknownCase
from api.cases.state import CaseEvent, CaseState
from api.storage.clock import now_text
from api.storage.database import Database
from api.storage.tables import ATTACHMENTS, CASE_EVENTS, CASE_FEATURES, CASE_TEXTS, CASES, ORGANISATIONS

NEW = 0
"""The version of a case that is not there yet."""


@dataclass(frozen=True, slots=True)
class CaseRow:
    """What lists show of a case."""

    id: str
    number: int
    version: int
    status: str
    title: str
    site: str | None
    symptom: str | None
    leading_cause: str | None
    confirmed_cause: str | None
    confirmed_part: str | None
    opened_at: str
    updated_at: str
    closed_at: str | None
    opened_by: str
    visits: int
    answers: int


AlsoDone = Callable[[Connection, CaseRow], None]
"""Something to do in the same transaction, once the case is changed."""


@dataclass(frozen=True, slots=True)
class Change:
    """Events to append to a case and the state they lead to, with what is searched and compared."""

    case_id: str
    expected: int
    events: Sequence[CaseEvent]
    state: CaseState
    title: str
    body: str | None
    """The words that are searched; None when they stay as they are."""

    features: frozenset[str] | None
    """What makes cases alike; None when that stays as it is."""

    files: Sequence[Mapping[str, Any]] = field(default=())


class Records:
    """The cases of all organisations in one database; every call names the organisation it is for."""

    def __init__(self, database: Database) -> None:
        self.database = database

    def append(self, org: str, change: Change, *also: AlsoDone) -> CaseRow:
        """Append the events, all or none, with what is also done; raise StaleCase when the case moved on."""
        with self.database.writing() as connection:
            if change.expected == NEW:
                _insert_case(connection, org, change)
            else:
                _lock(connection, org, change)
            connection.execute(insert(CASE_EVENTS), [_event_row(change.case_id, it) for it in change.events])
            for file in change.files:
                connection.execute(insert(ATTACHMENTS).values(case_id=change.case_id, **file))
            connection.execute(update(CASES).where(CASES.c.id == change.case_id).values(**_shown(change)))
            _index(connection, change)
            row = case_row(connection.execute(select(CASES).where(CASES.c.id == change.case_id)).one())
            for act in also:
                act(connection, row)
            _tell_other_nodes(connection, self.database, change.case_id)
        return row

    def case(self, org: str, case_id: str) -> CaseRow:
        """Return one case; raise UnknownCase, also for another organisation's."""
        with self.database.reading() as connection:
            row = connection.execute(select(CASES).where(CASES.c.id == case_id, CASES.c.org == org)).first()
        if row is None:
            raise UnknownCase(case_id)
        return case_row(row)

    def read(self, org: str, case_id: str) -> tuple[CaseRow, list[CaseEvent]]:
        """Return a case with all its events; raise UnknownCase."""
        with self.database.reading() as connection:
            row = connection.execute(select(CASES).where(CASES.c.id == case_id, CASES.c.org == org)).first()
            if row is None:
                raise UnknownCase(case_id)
            found = select(CASE_EVENTS).where(CASE_EVENTS.c.case_id == case_id, CASE_EVENTS.c.seq <= row.version)
            events = [_event(it) for it in connection.execute(found.order_by(CASE_EVENTS.c.seq))]
        return case_row(row), events[: row.version]

    def events_after(self, org: str, case_id: str, seq: int, most: int) -> list[CaseEvent]:
        """Return the events of a case after this number, at most so many; none of another organisation's case."""
        theirs = (CASES.c.id == case_id) & (CASES.c.org == org)
        found = select(CASE_EVENTS).join(CASES, CASES.c.id == CASE_EVENTS.c.case_id)
        found = found.where(theirs, CASE_EVENTS.c.seq > seq).order_by(CASE_EVENTS.c.seq).limit(most)
        with self.database.reading() as connection:
            return [_event(it) for it in connection.execute(found)]

    def attachment(self, org: str, case_id: str, attachment_id: str) -> Any:
        """Return one attachment with its content, or None; raise UnknownCase."""
        self.case(org, case_id)
        found = select(ATTACHMENTS).where(ATTACHMENTS.c.case_id == case_id, ATTACHMENTS.c.id == attachment_id)
        with self.database.reading() as connection:
            return connection.execute(found).first()

    def delete(self, org: str, case_id: str) -> None:
        """Remove a case with all that belongs to it; raise UnknownCase."""
        with self.database.writing() as connection:
            gone = connection.execute(delete(CASES).where(CASES.c.id == case_id, CASES.c.org == org)).rowcount
        if not gone:
            raise UnknownCase(case_id)


def _insert_case(connection: Connection, org: str, change: Change) -> None:
    counted = update(ORGANISATIONS).where(ORGANISATIONS.c.id == org)
    counted = counted.values(last_case=ORGANISATIONS.c.last_case + 1).returning(ORGANISATIONS.c.last_case)
    number = connection.execute(counted).scalar_one()
    first = change.events[0]
    row = {**_shown(change), "id": change.case_id, "org": org, "number": number, "opened_at": first.at}
    connection.execute(insert(CASES).values(**row, opened_by=first.by))
    connection.execute(insert(CASE_TEXTS).values(case_id=change.case_id, body=change.body or ""))


def _lock(connection: Connection, org: str, change: Change) -> None:
    found = select(CASES.c.version).where(CASES.c.id == change.case_id, CASES.c.org == org).with_for_update()
    version = connection.execute(found).scalar()
    if version is None:
        raise UnknownCase(change.case_id)
    if version != change.expected:
        raise StaleCase(version)


def _shown(change: Change) -> dict[str, Any]:
    state, now = change.state, now_text()
    leading = (state.then.get("leading") or [{}])[0]
    confirmed = state.confirmed or {}
    return {
        "version": state.version,
        "status": state.status,
        "title": change.title,
        "site": state.site if isinstance(state.site, str) else None,
        "symptom": state.symptoms[0]["id"] if state.symptoms else None,
        "leading_cause": leading.get("cause"),
        "confirmed_cause": confirmed.get("cause"),
        "confirmed_part": confirmed.get("part"),
        "updated_at": now,
        "closed_at": now if state.status == "closed" else None,
        "visits": state.visits,
        "answers": len(state.answers),
    }


def _index(connection: Connection, change: Change) -> None:
    if change.body is not None:
        mine = CASE_TEXTS.c.case_id == change.case_id
        connection.execute(update(CASE_TEXTS).where(mine).values(body=change.body))
    if change.features is not None:
        _index_features(connection, change, change.features)


def _index_features(connection: Connection, change: Change, features: frozenset[str]) -> None:
    have = set(
        connection.execute(select(CASE_FEATURES.c.feature).where(CASE_FEATURES.c.case_id == change.case_id)).scalars()
    )
    if gone := have - features:
        mine = CASE_FEATURES.c.case_id == change.case_id
        connection.execute(delete(CASE_FEATURES).where(mine, CASE_FEATURES.c.feature.in_(gone)))
    if new := features - have:
        connection.execute(insert(CASE_FEATURES), [{"case_id": change.case_id, "feature": it} for it in sorted(new)])


def _tell_other_nodes(connection: Connection, database: Database, case_id: str) -> None:
    if not database.is_sqlite:
        connection.exec_driver_sql("SELECT pg_notify('ventsleuth_case', %s)", (case_id,))


def _event_row(case_id: str, event: CaseEvent) -> dict[str, Any]:
    data = json.dumps(event.data, ensure_ascii=True, sort_keys=True)
    return {"case_id": case_id, "seq": event.seq, "kind": event.kind, "at": event.at, "by": event.by, "data": data}


def _event(row: Any) -> CaseEvent:
    return CaseEvent(row.seq, row.kind, row.at, row.by, json.loads(row.data))


def case_row(row: Any) -> CaseRow:
    """Return what lists show of a case, from its row in the database."""
    return CaseRow(**{name: getattr(row, name) for name in CaseRow.__slots__})
