"""Decide who a request comes from: whoever holds a key, or whoever is signed in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar
from urllib.parse import urlsplit

from fastapi import Request

from api.access.errors import ForeignPage
from api.access.keys import Keys
from api.access.limits import Limit
from api.access.people import People, Person
from api.who import LOCAL_USER, ROLES, NotSignedIn, Who

COOKIE = "ventsleuth_session"
SAFE = frozenset({"GET", "HEAD", "OPTIONS"})
OWN = frozenset({"same-origin", "none"})
"""What browsers say of a request that one of our own pages, or a person at the address bar, made."""

LOOPBACK = frozenset({"localhost", "127.0.0.1", "::1"})


class ForeignName(NotSignedIn):
    """The request was sent to a name that this machine does not go by: a page may have bent its own name to us."""

    def __init__(self) -> None:
        super().__init__("Without sign-in the service answers only as localhost. Open it under that name.")


@dataclass(frozen=True)
class LocalDoor:
    """Lets in whoever is on this machine; `names` are those it may be called by, None for any."""

    names: frozenset[str] | None = None
    is_quick: ClassVar[bool] = True

    def admit(self, request: Request) -> Who:
        """Return the user of this machine; raise ForeignName or ForeignPage."""
        if self.names is not None and request.url.hostname not in self.names:
            raise ForeignName
        refuse_foreign_page(request)
        return LOCAL_USER


@dataclass(frozen=True)
class GuardedDoor:
    """Lets in keys and people who are signed in, each so often a minute."""

    people: People
    keys: Keys
    limit: Limit
    failures: Limit
    is_quick: ClassVar[bool] = False

    def admit(self, request: Request) -> Who:
        """Return who asks; raise NotSignedIn, ForeignPage or TooMany."""
        who = self._by_key(request) or self._by_session(request)
        if who is None:
            self.failures.take(address_of(request))
            raise NotSignedIn("Sign in at /sign-in, or send an API key as “Authorization: Bearer …”.")
        request.state.headers = self.limit.take(f"{who.org} {who.id}")
        return who

    def _by_key(self, request: Request) -> Who | None:
        kind, _, shown = request.headers.get("authorization", "").partition(" ")
        if kind.lower() != "bearer":
            return None
        key = self.keys.find(shown.strip())
        return Who(key.org, f"key {key.id}", key.name, "key", key.scopes) if key else None

    def _by_session(self, request: Request) -> Who | None:
        token = request.cookies.get(COOKIE)
        if not token or "authorization" in request.headers:
            return None
        person = self.people.in_session(token)
        if person is None:
            return None
        refuse_foreign_page(request)
        return who_is(person)


def who_is(person: Person) -> Who:
    """Return a person as whoever asks."""
    return Who(person.org, person.id, person.name, person.role, ROLES.get(person.role, frozenset()))


def refuse_foreign_page(request: Request) -> None:
    """Raise ForeignPage when a page of another site wants something changed."""
    if request.method in SAFE:
        return
    site = request.headers.get("sec-fetch-site")
    if site in OWN:
        return  # a form of ours that sends no referrer names no origin either
    origin = request.headers.get("origin")
    from_elsewhere = origin is not None and urlsplit(origin).netloc != request.headers.get("host")
    if from_elsewhere or site is not None:
        raise ForeignPage


def address_of(request: Request) -> str:
    """Return the address a request comes from, for counting."""
    return request.client.host if request.client else "nowhere"
