"""The endpoints of sign-in, people, keys and the audit log."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter, Depends, Path, Query, Request, Response
from pydantic import Field, StringConstraints

from api.access.desk import AccessDesk, AccessDeskDep
from api.access.door import COOKIE, address_of, refuse_foreign_page, who_is
from api.access.keys import Key
from api.access.people import SESSION_DAYS, Person
from api.cases.routes import PROBLEM
from api.schemas import In, Out
from api.storage.clock import now_text
from api.strict_query import refuse_unknown_query
from api.who import ROLES, Admin, Who, WhoDep

Line = Annotated[str, StringConstraints(min_length=1, max_length=120, pattern=r"^[^\x00-\x1f\x7f]+$")]
Password = Annotated[str, StringConstraints(min_length=1, max_length=256)]
Role = Literal["technician", "helpdesk", "author", "trainer", "administrator"]
Scope = Literal["diagnose", "cases:read", "cases:write", "sites:read", "sites:write", "training", "authoring", "admin"]
Id = Annotated[str, Path(max_length=40, pattern=r"^[0-9a-z]+$")]

router = APIRouter(prefix="/v1", tags=["access"], responses=PROBLEM, dependencies=[Depends(refuse_unknown_query)])


class SignInIn(In):
    """Name and password, or the token of a one-time link."""

    login: Line | None = None
    password: Password | None = None
    token: Annotated[str, StringConstraints(max_length=100)] | None = None


class MeOut(Out):
    """Who is asking, and what they may do."""

    id: str
    name: str
    organisation: str
    role: str
    scopes: list[str]
    sign_in: bool = Field(description="False where the service answers only its own machine and needs no sign-in.")
    says: str


class PersonIn(In):
    """A person to add; without a password they sign in by a one-time link."""

    login: Line
    name: Line
    role: Role
    password: Password | None = None


class PersonChangeIn(In):
    """What to change of a person; what is left out stays."""

    name: Line | None = None
    role: Role | None = None
    password: Password | None = None
    disabled: bool | None = None


class PersonOut(Out):
    """A person of the organisation."""

    id: str
    login: str
    name: str
    role: str
    created_at: str
    disabled_at: str | None


class PeopleOut(Out):
    """The people of the organisation."""

    people: list[PersonOut]


class LinkOut(Out):
    """A link that signs somebody in once."""

    path: str
    expires_at: str


class KeyIn(In):
    """A key to make."""

    name: Line
    scopes: Annotated[list[Scope], Field(min_length=1, max_length=10)]
    days: Annotated[int, Field(ge=1, le=730, strict=True)] = 365


class KeyOut(Out):
    """A key; the key itself is shown once, when it is made."""

    id: str
    name: str
    scopes: list[str]
    created_at: str
    created_by: str
    expires_at: str
    revoked_at: str | None
    key: str | None = Field(default=None, description="Keep it now; it cannot be shown again.")


class KeysOut(Out):
    """The keys of the organisation."""

    keys: list[KeyOut]


class AuditLineOut(Out):
    """One line of the log."""

    id: int
    at: str
    who: str
    action: str
    target: str
    detail: str


class AuditOut(Out):
    """Lines, newest first; `next` is the address of those before, absent at the end."""

    lines: list[AuditLineOut]
    next: str | None = None


@router.post("/session")
def sign_in(request: Request, sent: SignInIn, access: AccessDeskDep, response: Response) -> MeOut:
    """Sign in by name and password or by the token of a one-time link; the session comes as a cookie."""
    refuse_foreign_page(request)
    person = access.sign_in(sent.login, sent.password, sent.token, address_of(request))
    set_session(request, response, access.people.start_session(person.id))
    return _me(who_is(person), access)


@router.get("/session")
def read_session(who: WhoDep, access: AccessDeskDep) -> MeOut:
    """Say who is asking and what they may do."""
    return _me(who, access)


@router.delete("/session", status_code=204)
def sign_out(request: Request, who: WhoDep, access: AccessDeskDep, response: Response) -> None:
    """End the session."""
    access.people.end_session(request.cookies.get(COOKIE, ""))
    access.audit.note(who, "sign-out", who.id)
    response.delete_cookie(COOKIE)


@router.get("/people")
def list_people(who: Admin, access: AccessDeskDep) -> PeopleOut:
    """Return the people of the organisation."""
    return PeopleOut(people=[_person(it) for it in access.people.all(who.org)])


@router.post("/people", status_code=201)
def add_person(sent: PersonIn, who: Admin, access: AccessDeskDep) -> PersonOut:
    """Add a person; nobody can give a role that may do more than they themselves."""
    access.allow(who, ROLES[sent.role])
    kept = access.passwords.hash(sent.password) if sent.password else None
    person = access.people.add(who.org, sent.login, sent.name, sent.role, kept)
    access.audit.note(who, "person-added", person.id, sent.role)
    return _person(person)


@router.patch("/people/{person_id}")
def change_person(person_id: Id, sent: PersonChangeIn, who: Admin, access: AccessDeskDep) -> PersonOut:
    """Change a person; a new password or disabling ends their sessions."""
    access.allow(who, ROLES[sent.role] if sent.role else frozenset())
    values: dict[str, str | None] = {"name": sent.name, "role": sent.role}
    values["password"] = access.passwords.hash(sent.password) if sent.password else None
    changes = {name: it for name, it in values.items() if it is not None}
    if sent.disabled is not None:
        changes["disabled_at"] = now_text() if sent.disabled else None  # type: ignore[assignment]
    person = access.people.change(who.org, person_id, **changes)
    access.audit.note(who, "person-changed", person.id, ", ".join(sorted(changes)))
    return _person(person)


@router.post("/people/{person_id}/sign-in-link", status_code=201)
def make_sign_in_link(person_id: Id, who: Admin, access: AccessDeskDep) -> LinkOut:
    """Make a link that signs a person in once; hand it to them yourself."""
    access.allow(who, access.scopes_of(who.org, person_id))
    token, ends = access.people.make_link(who.org, person_id)
    access.audit.note(who, "link-made", person_id)
    return LinkOut(path=f"/sign-in?token={token}", expires_at=ends)


@router.get("/keys")
def list_keys(who: Admin, access: AccessDeskDep) -> KeysOut:
    """Return the keys of the organisation, without their secrets."""
    return KeysOut(keys=[_key(it) for it in access.keys.all(who.org)])


@router.post("/keys", status_code=201)
def make_key(sent: KeyIn, who: Admin, access: AccessDeskDep) -> KeyOut:
    """Make a key; it is shown this once. It can do no more than whoever makes it."""
    access.allow(who, frozenset(sent.scopes))
    key, shown = access.keys.add(who.org, sent.name, set(sent.scopes), sent.days, who.id)
    access.audit.note(who, "key-made", key.id, ", ".join(sorted(sent.scopes)))
    return _key(key, shown)


@router.delete("/keys/{key_id}", status_code=204)
def revoke_key(key_id: Id, who: Admin, access: AccessDeskDep) -> None:
    """End a key now."""
    access.keys.revoke(who.org, key_id)
    access.audit.note(who, "key-revoked", key_id)


@router.get("/audit")
def read_audit(
    who: Admin,
    access: AccessDeskDep,
    before: Annotated[int | None, Query(ge=1, le=2**31 - 1)] = None,
    limit: Annotated[int, Query(ge=1, le=100)] = 50,
) -> AuditOut:
    """Return what was done about people, keys, sites and kept data, newest first."""
    lines = access.audit.lines(who.org, before, limit + 1)
    shown = [
        AuditLineOut(id=it.id, at=it.at, who=it.who, action=it.action, target=it.target, detail=it.detail)
        for it in lines[:limit]
    ]
    more = len(lines) > limit
    return AuditOut(lines=shown, next=f"/v1/audit?before={shown[-1].id}&limit={limit}" if more else None)


def set_session(request: Request, response: Response, token: str) -> None:
    """Give the session to the browser, out of reach of scripts and of other sites."""
    response.set_cookie(
        COOKIE,
        token,
        max_age=SESSION_DAYS * 86_400,
        httponly=True,
        samesite="lax",
        secure=request.url.scheme == "https",
    )


def _me(who: Who, access: AccessDesk) -> MeOut:
    says = "Signed in." if access.guarded else "No sign-in: this service answers only on its own machine."
    return MeOut(
        id=who.id,
        name=who.name,
        organisation=who.org,
        role=who.role,
        scopes=sorted(who.scopes),
        sign_in=access.guarded,
        says=says,
    )


def _person(it: Person) -> PersonOut:
    return PersonOut(**{name: getattr(it, name) for name in PersonOut.model_fields})


def _key(it: Key, shown: str | None = None) -> KeyOut:
    fields = {name: getattr(it, name) for name in KeyOut.model_fields if name not in ("scopes", "key")}
    return KeyOut(**fields, scopes=sorted(it.scopes), key=shown)
