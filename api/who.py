"""Who a request comes from, and what they may do."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Mapping
from dataclasses import dataclass
from typing import Annotated, Any, ClassVar, Protocol

from fastapi import Depends, Request
from starlette.concurrency import run_in_threadpool

from api.storage.tables import LOCAL
from diag.errors import DiagError

SCOPES: Mapping[str, str] = {
    "diagnose": "Ask for diagnoses and inspections, and read the knowledge.",
    "cases:read": "Read the organisation's cases, and what recurs in them.",
    "cases:write": "Open cases and add to them.",
    "sites:read": "Read the organisation's sites.",
    "sites:write": "Store and change sites.",
    "training": "Use the trainer.",
    "authoring": "Read the texts nobody understood, for writing phrases and entries.",
    "admin": "Look after people, keys, webhooks, kept data and the audit log of the organisation.",
}
"""What can be allowed, each with what it opens."""

_ALL = frozenset(SCOPES)
ROLES: Mapping[str, frozenset[str]] = {
    "technician": frozenset({"diagnose", "cases:read", "cases:write", "sites:read"}),
    "helpdesk": frozenset({"diagnose", "cases:read", "cases:write", "sites:read", "sites:write"}),
    "author": frozenset({"diagnose", "cases:read", "sites:read", "authoring"}),
    "trainer": frozenset({"diagnose", "sites:read", "training"}),
    "administrator": _ALL,
}
"""The scopes of each role."""


class NotSignedIn(DiagError):
    """No valid key or session came with the request."""


class NotAllowed(DiagError):
    """Whoever asks may not do this."""

    def __init__(self, scope: str) -> None:
        self.scope = scope
        super().__init__(f"This needs the scope “{scope}”. Ask an administrator of your organisation.")


@dataclass(frozen=True, slots=True)
class Who:
    """A person or key of one organisation; `id` is what is written beside what they do."""

    org: str
    id: str
    name: str
    role: str
    scopes: frozenset[str]

    def require(self, scope: str) -> None:
        """Raise NotAllowed unless they hold the scope."""
        if scope not in self.scopes:
            raise NotAllowed(scope)


LOCAL_USER = Who(LOCAL, LOCAL, "you, on this machine", "administrator", _ALL)
"""Whoever uses a service that only listens on its own machine."""


class Doorkeeper(Protocol):
    """Decides who a request comes from."""

    is_quick: ClassVar[bool]
    """Whether it knows without asking a database."""

    def admit(self, request: Request) -> Who:
        """Return who asks; raise NotSignedIn."""


def who_of(request: Request) -> Who:
    """Return who asks, decided once for a request."""
    found: Who | None = getattr(request.state, "who", None)
    if found is None:
        doorkeeper: Doorkeeper = request.app.state.doorkeeper
        found = request.state.who = doorkeeper.admit(request)
    return found


def needs(scope: str) -> Callable[[Request], Awaitable[Who]]:
    """Return the dependency that lets in whoever holds the scope."""

    async def allowed(request: Request) -> Who:
        doorkeeper: Doorkeeper = request.app.state.doorkeeper
        # A thread of its own only where it may have to wait, for handing over takes longer than knowing.
        who = who_of(request) if doorkeeper.is_quick else await run_in_threadpool(who_of, request)
        who.require(scope)
        return who

    allowed.scope = scope  # type: ignore[attr-defined]
    return allowed


def scope_of(dependency: Any) -> str | None:
    """Return the scope that a dependency asks for, or None when it is of another kind."""
    return getattr(dependency, "scope", None)


WhoDep = Annotated[Who, Depends(who_of)]
CaseReader = Annotated[Who, Depends(needs("cases:read"))]
CaseWriter = Annotated[Who, Depends(needs("cases:write"))]
SiteReader = Annotated[Who, Depends(needs("sites:read"))]
SiteWriter = Annotated[Who, Depends(needs("sites:write"))]
Author = Annotated[Who, Depends(needs("authoring"))]
Asker = Annotated[Who, Depends(needs("diagnose"))]
Admin = Annotated[Who, Depends(needs("admin"))]
