"""What looking after access needs, for as long as the service lives."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from fastapi import Depends, Request

from api.access.audit import Audit
from api.access.door import GuardedDoor
from api.access.errors import TooMany, UnknownPerson, WrongSignIn
from api.access.keys import Keys
from api.access.limits import Limit, new_limit
from api.access.passwords import Passwords
from api.access.people import People, Person
from api.storage.database import Database
from api.who import ROLES, NotAllowed, Who

SIGN_INS_A_MINUTE = 10
FAILURES_A_MINUTE = 60
MINUTE_S = 60
LINES_LOOKED_AT = 500
REFUSED = "sign-in-refused"


@dataclass(frozen=True)
class AccessDesk:
    """People, keys, passwords and the log; `guarded` says whether anybody has to sign in."""

    people: People
    keys: Keys
    audit: Audit
    passwords: Passwords
    sign_ins: Limit
    guarded: bool

    def sign_in(self, login: str | None, password: str | None, token: str | None, address: str) -> Person:
        """Return who signs in; raise WrongSignIn, or TooMany after several tries."""
        self.sign_ins.take(f"address {address}")
        person = self.people.use_link(token) if token else self._by_password(login or "", password or "")
        if person is None:
            raise WrongSignIn
        self.audit.note_as(person.org, person.id, "sign-in", person.id, "by link" if token else "by password")
        return person

    def _by_password(self, login: str, password: str) -> Person | None:
        self.sign_ins.take(f"login {login.casefold()}")
        found = self.people.with_login(login)
        if found:
            self._refuse_guessing(found[0])
        if self.passwords.matches(found[1] if found else None, password):
            return found[0] if found else None
        if found:
            self.audit.note_as(found[0].org, found[0].id, REFUSED, found[0].id)
        return None

    def _refuse_guessing(self, person: Person) -> None:
        """Raise TooMany when somebody was refused too often, on whichever node."""
        refused = self.audit.count_lately(person.org, REFUSED, person.id, MINUTE_S, LINES_LOOKED_AT)
        if refused >= SIGN_INS_A_MINUTE:
            raise TooMany(MINUTE_S)

    def allow(self, who: Who, scopes: frozenset[str]) -> None:
        """Raise NotAllowed when somebody would give away more than they hold."""
        more = sorted(scopes - who.scopes)
        if more:
            raise NotAllowed(more[0])

    def scopes_of(self, org: str, person_id: str) -> frozenset[str]:
        """Return what a person may do; raise UnknownPerson."""
        for person in self.people.all(org):
            if person.id == person_id:
                return ROLES.get(person.role, frozenset())
        raise UnknownPerson(person_id)


def open_access(database: Database, guarded: bool) -> AccessDesk:
    """Return the desk over a database."""
    limit = new_limit(SIGN_INS_A_MINUTE)
    return AccessDesk(People(database), Keys(database), Audit(database), Passwords(), limit, guarded)


def guarded_door(desk: AccessDesk, a_minute: int) -> GuardedDoor:
    """Return the door that lets in keys and people who are signed in."""
    return GuardedDoor(desk.people, desk.keys, new_limit(a_minute), new_limit(FAILURES_A_MINUTE))


def access_of(request: Request) -> AccessDesk:
    """Return the access desk of the service."""
    desk: AccessDesk = request.app.state.access
    return desk


AccessDeskDep = Annotated[AccessDesk, Depends(access_of)]
