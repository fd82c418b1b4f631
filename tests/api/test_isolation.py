"""Nothing of another organisation is ever visible: every operation of the OpenAPI document is tried.

OWASP API Security Top 10 (2023): API1 broken object level authorisation, API5 broken function level authorisation,
API9 improper inventory management.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import pytest
from fastapi.routing import APIRoute
from fastapi.testclient import TestClient

from api.access.limits import new_limit
from api.app import Settings, create_app, describe_site
from api.openapi_document import OPEN
from api.who import SCOPES
from diag.demo import load_demo
from tests.api.case_calls import added, opened
from tests.api.databases import KINDS

MARK = "northmark"
SITE = {"name": f"Hall {MARK}", "drives": {"d1": {}}}
PNG = b"\x89PNG\r\n\x1a\n" + bytes(20)
SHARED = {"cause_id": "core-open", "what": "sites"}
"""Path parameters that name what nobody owns, each with a value."""

BODIES: dict[str, Any] = {
    "add_case_events": {"events": [{"kind": "note", "text": "from the south"}]},
    "change_person": {"name": "Taken over"},
    "take_step": {"kind": "check", "what": "look-lamps"},
}
"""Bodies with which an operation would be done if it were allowed; the others need none."""

OWN = frozenset({"store_site", "import_site"})
"""Operations that make something under an id of the caller's own choice."""


@dataclass
class Two:
    """A service with two organisations; `ids` are those of what the north owns."""

    client: TestClient
    north: dict[str, str]
    south: dict[str, str]
    ids: dict[str, str]
    paths: dict[str, dict[str, Any]]

    def owned(self) -> list[tuple[str, str, str]]:
        """Return method, address and name of every operation on something the north owns."""
        found = []
        for path, operations in self.paths.items():
            names = set(re.findall(r"{(\w+)}", path))
            if names and not names & SHARED.keys():
                found += [(method, path.format(**self.ids), it["operationId"]) for method, it in operations.items()]
        return [it for it in found if it[2] not in OPEN]


@pytest.fixture(scope="module", params=KINDS)
def two(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Two]:
    """Return a service with a north that owns one of everything, and a south that may do everything of its own."""
    place: Any = tmp_path_factory.mktemp("two") / "two.db"
    if request.param == "postgresql":
        place = request.getfixturevalue("postgres").make_database("two")
    with TestClient(create_app(Settings(place, sign_in=True, webhook_hosts=frozenset({"192.0.2.1"})))) as client:
        access: Any = client.app.state.access  # type: ignore[attr-defined]
        for org in ("north", "south"):
            access.people.add_organisation(org, org.title())
        north, south = (
            {"Authorization": f"Bearer {access.keys.add(it, 'k', SCOPES, 1, 'test')[1]}"} for it in ("north", "south")
        )
        paths = client.get("/openapi.json").json()["paths"]
        yield Two(client, north, south, fill(client, north), paths)


def fill(client: TestClient, north: dict[str, str]) -> dict[str, str]:
    """Let the north own one of everything and return the ids by the name of their path parameter."""
    client.headers.update(north)
    client.put(f"/v1/sites/{MARK}", json=SITE)
    case_id = opened(client, site=MARK, text=f"window wont open {MARK}")["case"]["id"]
    added(client, case_id, {"kind": "note", "text": MARK})
    client.post("/v1/diagnoses", json={"text": f"zqx hall {MARK}"})  # nobody understands this
    file = client.post(
        f"/v1/cases/{case_id}/attachments", params={"name": MARK}, content=PNG, headers={"content-type": "image/png"}
    ).json()["case"]["attachments"][0]
    person = client.post("/v1/people", json={"login": MARK, "name": MARK, "role": "technician"}).json()
    key = client.post("/v1/keys", json={"name": MARK, "scopes": ["diagnose"]}).json()
    hook = client.post("/v1/webhooks", json={"url": f"https://192.0.2.1/{MARK}"}).json()
    taught = teach(client)
    for name in north:
        del client.headers[name]
    ids = taught | {"case_id": case_id, "attachment_id": file["id"], "site_id": MARK, "person_id": person["id"]}
    return ids | {"key_id": key["id"], "version": "1", "webhook_id": hook["id"]}


def teach(client: TestClient) -> dict[str, str]:
    """Let the caller own a quiz, a class that takes it, a sitting and a practice call-out; return their ids."""
    client.put(f"/v1/sites/{MARK}-small", json={**describe_site(load_demo("small")), "name": f"Small hall {MARK}"})
    quiz = client.post("/v1/quizzes", json={"site": f"{MARK}-small", "questions": 1}).json()
    code = client.post("/v1/classes", json={"quiz": quiz["id"]}).json()["code"]
    sitting = client.post("/v1/sittings", json={"code": code}).json()
    practice = client.post("/v1/practices", json={"site": f"{MARK}-small", "seed": 4}).json()
    learner = client.post("/v1/learners", json={"quiz": quiz["id"]}).json()
    card = learner["cards"][0] if learner["cards"] else {"kind": "causes", "entry": "core-open"}
    ids = {"quiz_id": quiz["id"], "code": code, "sitting_id": sitting["id"], "practice_id": practice["id"]}
    ids |= {"learner": learner["learner"], "kind": card["kind"], "entry": card["entry"]}
    return ids | {"item_id": quiz["quiz"]["items"][0]["id"]}


def snapshot(two: Two) -> list[Any]:
    """Return all the north sees of its own, but for its log."""
    return [
        two.client.get(path, headers=two.north).json()
        for path in ("/v1/sites", f"/v1/sites/{MARK}", "/v1/cases", "/v1/people", "/v1/keys", "/v1/webhooks")
    ]


def ask(two: Two, method: str, path: str, name: str, headers: dict[str, str]) -> Any:
    """Send a request that would be done if it were allowed."""
    more = {**headers, "If-Match": "*"}
    if name == "add_attachment":
        return two.client.post(path, content=PNG, headers={**more, "content-type": "image/png"})
    return two.client.request(method.upper(), path, json=BODIES.get(name), headers=more)


def test_what_the_north_owns_is_not_there_for_the_south(two: Two) -> None:
    before = snapshot(two)
    wrong = []
    for method, path, name in two.owned():
        if name in OWN:
            continue
        response = ask(two, method, path, name, two.south)
        body = response.text.replace(MARK, "", 1) if MARK in path else response.text  # the id asked for is told back
        if response.status_code != 404 or f"hall {MARK}" in body.lower():
            wrong.append((name, response.status_code, response.text[:200]))

    assert wrong == []
    assert snapshot(two) == before


def test_the_same_id_of_another_organisation_is_another_thing(two: Two) -> None:
    before = snapshot(two)
    made = two.client.put(f"/v1/sites/{MARK}", json={"name": "Southern"}, headers=two.south)

    assert made.status_code == 201
    assert snapshot(two) == before


def test_lists_and_searches_of_the_south_hold_nothing_of_the_north(two: Two) -> None:
    lists = [
        path for path, it in two.paths.items() if "get" in it and not set(re.findall(r"{(\w+)}", path)) - SHARED.keys()
    ]
    for path in (it.format(**SHARED) for it in lists):
        for query in ("", f"?q={MARK}", f"?text={MARK}&site={MARK}"):
            response = two.client.get(f"{path}{query}", headers=two.south)
            shown = response.text.replace(f"“{MARK}”", "").replace(f'"{MARK}"', "")
            assert f"hall {MARK}" not in shown.lower(), (path, query)
            assert f"{MARK}@" not in shown


def test_the_north_itself_sees_what_it_owns(two: Two) -> None:
    """Else the tests above would pass on a service that shows nothing to anybody."""
    for method, path, name in two.owned():
        if method == "get" and not path.endswith((".pdf", "/stream")):
            response = two.client.get(path, headers=two.north)
            assert response.status_code == 200, (name, response.text[:200])


def test_every_operation_asks_who_it_is(two: Two) -> None:
    state: Any = two.client.app.state  # type: ignore[attr-defined]
    state.doorkeeper = replace(state.doorkeeper, failures=new_limit(1_000))  # else the last ones are told to wait
    wrong = []
    for path, operations in two.paths.items():
        for method, it in operations.items():
            if it["operationId"] in OPEN:
                continue
            response = ask(two, method, path.format_map(Anything(two.ids)), it["operationId"], {})
            if response.status_code != 401:
                wrong.append((it["operationId"], response.status_code))

    assert wrong == []


def test_every_operation_on_something_owned_asks_for_a_scope(two: Two) -> None:
    access: Any = two.client.app.state.access  # type: ignore[attr-defined]
    powerless = {"Authorization": f"Bearer {access.keys.add('north', 'k', [], 1, 'test')[1]}"}
    statuses = {name: ask(two, method, path, name, powerless).status_code for method, path, name in two.owned()}

    assert {name: it for name, it in statuses.items() if it != 403} == {}


def test_every_route_under_v1_is_in_the_document(two: Two) -> None:
    routes = {it.path for it in two.client.app.routes if isinstance(it, APIRoute) and it.path.startswith("/v1")}  # type: ignore[attr-defined]

    assert routes - set(two.paths) == set()


class Anything(dict[str, str]):
    """Ids by name; a name that is not known stands for itself."""

    def __missing__(self, key: str) -> str:
        return SHARED.get(key, "x")
