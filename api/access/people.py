"""Keep organisations, their people, and how they sign in."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from sqlalchemy import Connection, Select, bindparam, delete, func, insert, select, update
from sqlalchemy.exc import IntegrityError

from api.access.errors import LastAdministrator, LoginTaken, UnknownOrganisation, UnknownPerson
from api.access.tokens import digest_of, make_token
from api.cases.ids import new_id
from api.storage.clock import later, now_text
from api.storage.database import Database
from api.storage.tables import ORGANISATIONS, PEOPLE, SESSIONS, SIGN_IN_LINKS

SESSION_DAYS = 14
LINK_MINUTES = 30
ADMINISTRATOR = "administrator"


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody of an organisation; `disabled_at` is set when they may no longer sign in."""

    id: str
    org: str
    login: str
    name: str
    role: str
    created_at: str
    disabled_at: str | None


class People:
    """Organisations and people in one database."""

    def __init__(self, database: Database) -> None:
        self.database = database

    def add_organisation(self, org: str, name: str) -> None:
        """Add an organisation; raise LoginTaken when its id is used."""
        row = {"id": org, "name": name, "created_at": now_text(), "last_case": 0}
        _insert(self.database, ORGANISATIONS, row)

    def organisation(self, org: str) -> Any:
        """Return the row of an organisation; raise UnknownOrganisation."""
        with self.database.reading() as connection:
            row = connection.execute(select(ORGANISATIONS).where(ORGANISATIONS.c.id == org)).first()
        if row is None:
            raise UnknownOrganisation(org)
        return row

    def add(self, org: str, login: str, name: str, role: str, password: str | None = None) -> Person:
        """Add a person, with the hash of a password or none; raise LoginTaken or UnknownOrganisation."""
        self.organisation(org)
        row = {"id": new_id(), "org": org, "login": fold_login(login), "name": name, "role": role}
        row["created_at"] = now_text()
        _insert(self.database, PEOPLE, {**row, "password": password})
        return Person(**row, disabled_at=None)

    def all(self, org: str) -> list[Person]:
        """Return the people of an organisation in order of sign-in name."""
        found = select(PEOPLE).where(PEOPLE.c.org == org).order_by(PEOPLE.c.login)
        with self.database.reading() as connection:
            return [_person(row) for row in connection.execute(found)]

    def change(self, org: str, person_id: str, **values: Any) -> Person:
        """Change fields of a person; raise UnknownPerson or LastAdministrator."""
        with self.database.writing() as connection:
            person = _locked(connection, org, person_id)
            takes_away = values.get("role", ADMINISTRATOR) != ADMINISTRATOR or values.get("disabled_at")
            if person.role == ADMINISTRATOR and person.disabled_at is None and takes_away:
                _keep_one_administrator(connection, org)
            if values:
                connection.execute(update(PEOPLE).where(PEOPLE.c.id == person_id).values(**values))
            if values.get("disabled_at") or "password" in values:
                connection.execute(delete(SESSIONS).where(SESSIONS.c.person == person_id))
            return _locked(connection, org, person_id)

    def with_login(self, login: str) -> tuple[Person, str | None] | None:
        """Return who signs in under this name and the hash of their password; None for nobody or a disabled one."""
        found = select(PEOPLE).where(PEOPLE.c.login == fold_login(login), PEOPLE.c.disabled_at.is_(None))
        with self.database.reading() as connection:
            row = connection.execute(found).first()
        return (_person(row), row.password) if row else None

    def make_link(self, org: str, person_id: str, minutes: int = LINK_MINUTES) -> tuple[str, str]:
        """Return a token that signs a person in once, and when it ends; raise UnknownPerson."""
        token, digest = make_token()
        ends = later(minutes=minutes)
        with self.database.writing() as connection:
            _locked(connection, org, person_id)
            connection.execute(insert(SIGN_IN_LINKS).values(digest=digest, person=person_id, expires_at=ends))
        return token, ends

    def use_link(self, token: str) -> Person | None:
        """Return whom a link signs in, and use it up; None when it was used, is over, or is none."""
        unused = SIGN_IN_LINKS.c.used_at.is_(None) & (SIGN_IN_LINKS.c.expires_at > now_text())
        use = update(SIGN_IN_LINKS).where(SIGN_IN_LINKS.c.digest == digest_of(token), unused)
        with self.database.writing() as connection:
            person = connection.execute(use.values(used_at=now_text()).returning(SIGN_IN_LINKS.c.person)).scalar()
            active = (PEOPLE.c.id == person) & PEOPLE.c.disabled_at.is_(None)
            row = connection.execute(select(PEOPLE).where(active)).first() if person else None
        return _person(row) if row else None

    def start_session(self, person_id: str) -> str:
        """Return the token of a new session."""
        token, digest = make_token()
        row = {"digest": digest, "person": person_id, "created_at": now_text(), "expires_at": later(days=SESSION_DAYS)}
        with self.database.writing() as connection:
            connection.execute(delete(SESSIONS).where(SESSIONS.c.expires_at < now_text()))
            connection.execute(insert(SESSIONS).values(**row))
        return token

    def in_session(self, token: str) -> Person | None:
        """Return whose session this is, or None when it is over or none."""
        which = {"its_digest": digest_of(token), "now": now_text()}
        with self.database.reading() as connection:
            row = connection.execute(_in_session(), which).first()
        return _person(row) if row else None

    def end_session(self, token: str) -> None:
        """End a session, if it is one."""
        with self.database.writing() as connection:
            connection.execute(delete(SESSIONS).where(SESSIONS.c.digest == digest_of(token)))

    def has_administrator(self) -> bool:
        """Say whether anybody could look after an organisation."""
        found = select(PEOPLE.c.id).where(PEOPLE.c.role == ADMINISTRATOR, PEOPLE.c.disabled_at.is_(None)).limit(1)
        with self.database.reading() as connection:
            return connection.execute(found).first() is not None


@cache
def _in_session() -> Select[Any]:
    """Return the statement, put together once, because every request asks it."""
    mine = (SESSIONS.c.digest == bindparam("its_digest")) & (SESSIONS.c.expires_at > bindparam("now"))
    found = select(PEOPLE).join(SESSIONS, SESSIONS.c.person == PEOPLE.c.id)
    return found.where(mine, PEOPLE.c.disabled_at.is_(None))


def fold_login(login: str) -> str:
    """Return a sign-in name as it is kept: small letters, no spaces around it."""
    return re.sub(r"\s+", " ", login.strip().casefold())


def _insert(database: Database, table: Any, row: dict[str, Any]) -> None:
    try:
        with database.writing() as connection:
            connection.execute(insert(table).values(**row))
    except IntegrityError:
        raise LoginTaken from None


def _locked(connection: Connection, org: str, person_id: str) -> Person:
    found = select(PEOPLE).where(PEOPLE.c.id == person_id, PEOPLE.c.org == org).with_for_update()
    row = connection.execute(found).first()
    if row is None:
        raise UnknownPerson(person_id)
    return _person(row)


def _keep_one_administrator(connection: Connection, org: str) -> None:
    connection.execute(select(ORGANISATIONS.c.id).where(ORGANISATIONS.c.id == org).with_for_update())
    active = (PEOPLE.c.org == org) & (PEOPLE.c.role == ADMINISTRATOR) & PEOPLE.c.disabled_at.is_(None)
    if connection.execute(select(func.count()).select_from(PEOPLE).where(active)).scalar_one() < 2:
        raise LastAdministrator


def _person(row: Any) -> Person:
    names: Sequence[str] = Person.__slots__
    return Person(**{name: getattr(row, name) for name in names})
