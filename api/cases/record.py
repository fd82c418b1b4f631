"""Keep cases: append events in one transaction with all that hangs on them, and read them back."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from sqlalchemy import Connection, Delete, Insert, Select, Update, bindparam, delete, insert, select, update

from api.cases.errors import StaleCase, UnknownCase
from api.cases.state import CaseEvent, CaseState
from api.rates import count_case
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

        def work(connection: Connection) -> CaseRow:
            row = _insert_case(connection, org, change) if change.expected == NEW else _move_on(connection, org, change)
            connection.execute(_statements().add_events, [_event_row(change.case_id, it) for it in change.events])
            for file in change.files:
                connection.execute(insert(ATTACHMENTS).values(case_id=change.case_id, **file))
            _index(connection, change)
            for act in also:
                act(connection, row)
            _tell_other_nodes(connection, self.database, f"{change.case_id} {row.version}")
            return row

        return self.database.kept(work)

    def case(self, org: str, case_id: str) -> CaseRow:
        """Return one case; raise UnknownCase, also for another organisation's."""
        with self.database.reading() as connection:
            return find_case(connection, org, case_id)

    def versions(self, case_ids: Sequence[str]) -> dict[str, int]:
        """Return the versions of those of these cases that are there, whoever they belong to."""
        found = select(CASES.c.id, CASES.c.version).where(CASES.c.id.in_(case_ids))
        with self.database.reading() as connection:
            return {it.id: it.version for it in connection.execute(found)}

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
        asked = {"its_id": case_id, "its_org": org, "seq": seq, "most": most}
        with self.database.reading() as connection:
            return [_event(it) for it in connection.execute(_statements().events_after, asked)]

    def attachment(self, org: str, case_id: str, attachment_id: str) -> Any:
        """Return one attachment with its content, or None; raise UnknownCase."""
        self.case(org, case_id)
        found = select(ATTACHMENTS).where(ATTACHMENTS.c.case_id == case_id, ATTACHMENTS.c.id == attachment_id)
        with self.database.reading() as connection:
            return connection.execute(found).first()

    def delete(self, org: str, case_id: str) -> None:
        """Remove a case with all that belongs to it and what was learned from it; raise UnknownCase."""
        with self.database.writing() as connection:
            gone = connection.execute(delete(CASES).where(CASES.c.id == case_id, CASES.c.org == org)).rowcount
            if gone:
                count_case(connection, org, case_id, None, None)
        if not gone:
            raise UnknownCase(case_id)


def find_case(connection: Connection, org: str, case_id: str) -> CaseRow:
    """Return one case; raise UnknownCase, also for another organisation's."""
    row = connection.execute(_statements().case, {"its_id": case_id, "its_org": org}).first()
    if row is None:
        raise UnknownCase(case_id)
    return case_row(row)


def _insert_case(connection: Connection, org: str, change: Change) -> CaseRow:
    counted = update(ORGANISATIONS).where(ORGANISATIONS.c.id == org)
    counted = counted.values(last_case=ORGANISATIONS.c.last_case + 1).returning(ORGANISATIONS.c.last_case)
    number = connection.execute(counted).scalar_one()
    first = change.events[0]
    row = {**_shown(change), "id": change.case_id, "org": org, "number": number, "opened_at": first.at}
    connection.execute(insert(CASES).values(**row, opened_by=first.by))
    connection.execute(insert(CASE_TEXTS).values(case_id=change.case_id, body=change.body or ""))
    return find_case(connection, org, change.case_id)


def _move_on(connection: Connection, org: str, change: Change) -> CaseRow:
    """Return the case with its row brought to the new version, if it is still at the one that was read."""
    which = {"its_id": change.case_id, "its_org": org, "its_version": change.expected}
    row = connection.execute(_statements().move_on, {**which, **_shown(change)}).first()
    if row is None:
        raise StaleCase(find_case(connection, org, change.case_id).version)
    return case_row(row)


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
        connection.execute(_statements().set_text, {"its_id": change.case_id, "body": change.body})
    if change.features is not None:
        _index_features(connection, change, change.features)


def _index_features(connection: Connection, change: Change, features: frozenset[str]) -> None:
    have = set(connection.execute(_statements().features, {"its_id": change.case_id}).scalars())
    if gone := have - features:
        connection.execute(_statements().forget_features, {"its_id": change.case_id, "gone": sorted(gone)})
    if new := features - have:
        rows = [{"case_id": change.case_id, "feature": it} for it in sorted(new)]
        connection.execute(_statements().add_features, rows)


def _tell_other_nodes(connection: Connection, database: Database, told: str) -> None:
    if not database.is_sqlite:
        connection.exec_driver_sql("SELECT pg_notify('ventsleuth_case', %s)", (told,))


def _event_row(case_id: str, event: CaseEvent) -> dict[str, Any]:
    data = json.dumps(event.data, ensure_ascii=True, sort_keys=True)
    return {"case_id": case_id, "seq": event.seq, "kind": event.kind, "at": event.at, "by": event.by, "data": data}


def _event(row: Any) -> CaseEvent:
    return CaseEvent(row.seq, row.kind, row.at, row.by, json.loads(row.data))


def case_row(row: Any) -> CaseRow:
    """Return what lists show of a case, from its row in the database."""
    return CaseRow(**{name: getattr(row, name) for name in CaseRow.__slots__})


@dataclass(frozen=True, slots=True)
class _Statements:
    """What is asked of the database for each answer, put together once, because that takes longer than running it."""

    case: Select[Any]
    events_after: Select[Any]
    move_on: Any
    add_events: Insert
    set_text: Update
    features: Select[Any]
    add_features: Insert
    forget_features: Delete


@cache
def _statements() -> _Statements:
    one = (CASES.c.id == bindparam("its_id")) & (CASES.c.org == bindparam("its_org"))
    events = select(CASE_EVENTS).join(CASES, CASES.c.id == CASE_EVENTS.c.case_id)
    after = events.where(one, CASE_EVENTS.c.seq > bindparam("seq")).order_by(CASE_EVENTS.c.seq)
    feature, its = CASE_FEATURES.c.feature, CASE_FEATURES.c.case_id == bindparam("its_id")
    return _Statements(
        case=select(CASES).where(one),
        events_after=after.limit(bindparam("most")),
        move_on=update(CASES).where(one, CASES.c.version == bindparam("its_version")).returning(CASES),
        add_events=insert(CASE_EVENTS),
        set_text=update(CASE_TEXTS).where(CASE_TEXTS.c.case_id == bindparam("its_id")),
        features=select(feature).where(its),
        add_features=insert(CASE_FEATURES),
        forget_features=delete(CASE_FEATURES).where(its, feature.in_(bindparam("gone", expanding=True))),
    )
