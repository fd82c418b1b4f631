"""Who gets in and what they may do."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from sqlalchemy import text, update

from api.access.desk import SIGN_INS_A_MINUTE, AccessDesk, open_access
from api.access.errors import TooMany, WrongSignIn
from api.access.limits import new_limit
from api.access.tokens import make_key, read_key
from api.app import Settings, create_app
from api.cli.serve import is_loopback
from api.cli.where import DATABASE
from api.storage.tables import API_KEYS, AUDIT, SIGN_IN_LINKS
from api.who import ROLES, SCOPES
from tests.api.case_calls import kind_of, opened
from tests.api.databases import KINDS
from tests.api.serving import ROOT, Node

PASSWORD = "correct horse battery"


@dataclass
class Guarded:
    """A guarded service with an administrator of one organisation."""

    client: TestClient
    access: AccessDesk
    key: str

    def as_key(self, *scopes: str) -> dict[str, str]:
        """Return the headers of a new key with these scopes."""
        return {"Authorization": f"Bearer {self.access.keys.add('local', 'a key', scopes, 1, 'test')[1]}"}

    @property
    def admin(self) -> dict[str, str]:
        """Return the headers of a key that may do everything."""
        return {"Authorization": f"Bearer {self.key}"}

    def person(self, login: str, role: str, password: str | None = PASSWORD) -> str:
        """Add a person and return their id."""
        kept = self.access.passwords.hash(password) if password else None
        return self.access.people.add("local", login, login.title(), role, kept).id

    def browser(self) -> TestClient:
        """Return a client with cookies of its own."""
        return TestClient(self.client.app)


@pytest.fixture(scope="module", params=KINDS)
def guarded(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Guarded]:
    """Return a guarded service on each kind of database."""
    place: Any = tmp_path_factory.mktemp("access") / "access.db"
    if request.param == "postgresql":
        place = request.getfixturevalue("postgres").make_database("access")
    settings = Settings(place, demos=("small",), sign_in=True)
    with TestClient(create_app(settings)) as client:
        access: AccessDesk = client.app.state.access  # type: ignore[attr-defined]
        yield Guarded(client, access, access.keys.add("local", "all", SCOPES, 1, "test")[1])


def test_nobody_gets_in_without_a_key_or_a_session(guarded: Guarded) -> None:
    for headers in ({}, {"Authorization": "Bearer nonsense"}, {"Authorization": "Basic abc"}, {"Cookie": "x=y"}):
        response = guarded.client.get("/v1/cases", headers=headers)

        assert (response.status_code, kind_of(response)) == (401, "not-signed-in")
        assert response.headers["www-authenticate"] == "Bearer"


def test_a_key_opens_what_its_scopes_say_and_no_more(guarded: Guarded) -> None:
    reader = guarded.as_key("cases:read")

    assert guarded.client.get("/v1/cases", headers=reader).status_code == 200
    refused = guarded.client.post("/v1/cases", json={}, headers=reader)
    assert (refused.status_code, kind_of(refused)) == (403, "not-allowed")
    assert "cases:write" in refused.json()["detail"]


def test_a_key_has_256_random_bits_and_only_its_digest_is_kept(guarded: Guarded) -> None:
    made = make_key()
    secret = made.shown.split("_")[2]
    key, shown = guarded.access.keys.add("local", "x", ["diagnose"], 1, "test")
    with guarded.access.people.database.reading() as connection:
        kept = str(connection.execute(text("SELECT * FROM api_keys")).all())

    assert len(bytes.fromhex(secret)) == 32
    assert shown.split("_")[2] not in kept
    assert read_key(shown) is not None
    assert key.id in kept


def test_a_mistyped_key_is_known_for_one(guarded: Guarded) -> None:
    key = guarded.key
    wrong = key[:30] + ("0" if key[30] != "0" else "1") + key[31:]

    assert read_key(wrong) is None
    assert read_key(key + " ") is None


def test_a_key_is_shown_once_and_ends_when_revoked(guarded: Guarded) -> None:
    wanted = {"name": "building computer", "scopes": ["cases:read"], "days": 30}
    made = guarded.client.post("/v1/keys", json=wanted, headers=guarded.admin).json()
    headers = {"Authorization": f"Bearer {made['key']}"}
    before = guarded.client.get("/v1/cases", headers=headers).status_code
    listed = guarded.client.get("/v1/keys", headers=guarded.admin).json()["keys"]
    guarded.client.delete(f"/v1/keys/{made['id']}", headers=guarded.admin)
    after = guarded.client.get("/v1/cases", headers=headers).status_code

    assert (before, after) == (200, 401)
    assert [it["key"] for it in listed if it["id"] == made["id"]] == [None]


def test_a_key_that_is_over_no_longer_opens(guarded: Guarded) -> None:
    key, shown = guarded.access.keys.add("local", "old", ["cases:read"], 1, "test")
    with guarded.access.people.database.writing() as connection:
        past = update(API_KEYS).where(API_KEYS.c.id == key.id).values(expires_at="2020-01-01T00:00:00.000Z")
        connection.execute(past)

    assert guarded.client.get("/v1/cases", headers={"Authorization": f"Bearer {shown}"}).status_code == 401


def test_nobody_gives_away_more_than_they_hold(guarded: Guarded) -> None:
    only_admin = guarded.as_key("admin")
    key = guarded.client.post("/v1/keys", json={"name": "x", "scopes": ["cases:read"]}, headers=only_admin)
    person = {"login": "more", "name": "More", "role": "administrator"}

    assert key.status_code == 403
    assert guarded.client.post("/v1/people", json=person, headers=only_admin).status_code == 403


@pytest.mark.parametrize("role", ROLES)
def test_a_person_may_do_what_their_role_says(guarded: Guarded, role: str) -> None:
    guarded.person(f"{role}-roles", role)
    browser = guarded.browser()
    me = browser.post("/v1/session", json={"login": f"{role}-roles", "password": PASSWORD}).json()
    scopes = set(me["scopes"])

    assert scopes == ROLES[role]
    assert (browser.get("/v1/cases").status_code == 200) == ("cases:read" in scopes)
    assert (browser.get("/v1/people").status_code == 200) == ("admin" in scopes)
    assert (browser.get("/v1/sites").status_code == 200) == ("sites:read" in scopes)
    guarded.access.sign_ins._limiter.storage.reset()


def test_a_session_comes_as_a_cookie_scripts_cannot_read_and_ends(guarded: Guarded) -> None:
    guarded.person("ada", "technician")
    browser = guarded.browser()
    signed = browser.post("/v1/session", json={"login": " ADA ", "password": PASSWORD})
    cookie = signed.headers["set-cookie"].lower()
    inside = browser.get("/v1/session").json()
    old = dict(browser.cookies)
    browser.delete("/v1/session")
    again = guarded.client.get("/v1/session", headers={"Cookie": f"ventsleuth_session={old['ventsleuth_session']}"})

    assert "httponly" in cookie
    assert "samesite=lax" in cookie
    assert (inside["role"], inside["sign_in"]) == ("technician", True)
    assert again.status_code == 401


def test_over_tls_the_cookie_stays_on_tls(guarded: Guarded) -> None:
    guarded.person("grace", "technician")
    browser = TestClient(guarded.client.app, base_url="https://testserver")
    signed = browser.post("/v1/session", json={"login": "grace", "password": PASSWORD})

    assert "secure" in signed.headers["set-cookie"].lower()


def test_wrong_names_and_wrong_passwords_are_told_alike(guarded: Guarded) -> None:
    guarded.person("linus", "technician")
    guarded.person("nopass", "technician", None)
    tries = [("linus", "wrong password here"), ("nobody", PASSWORD), ("nopass", PASSWORD), ("nopass", "")]
    answers = [guarded.browser().post("/v1/session", json={"login": a, "password": b or "x"}) for a, b in tries]

    assert {it.status_code for it in answers} == {401}
    assert len({it.json()["detail"] for it in answers}) == 1
    guarded.access.sign_ins._limiter.storage.reset()


def test_passwords_are_kept_with_a_memory_hard_hash(guarded: Guarded) -> None:
    guarded.person("edsger", "technician")
    found = guarded.access.people.with_login("edsger")

    assert found is not None
    assert re.match(r"\$argon2id\$v=19\$m=65536,", found[1] or "")


def test_a_short_password_is_refused(guarded: Guarded) -> None:
    person = {"login": "shorty", "name": "S", "role": "technician", "password": "short"}

    assert kind_of(guarded.client.post("/v1/people", json=person, headers=guarded.admin)) == "weak-password"


def test_a_link_signs_in_once_and_looking_at_it_does_not_use_it_up(guarded: Guarded) -> None:
    person = guarded.person("mary", "helpdesk", None)
    made = guarded.client.post(f"/v1/people/{person}/sign-in-link", headers=guarded.admin).json()
    token = made["path"].partition("token=")[2]
    browser = guarded.browser()
    page = browser.get(made["path"])
    signed = browser.post("/sign-in", data={"token": token}, follow_redirects=False)
    again = guarded.browser().post("/sign-in", data={"token": token}, follow_redirects=False)

    assert token in page.text
    assert (signed.status_code, signed.headers["location"]) == (303, "/")
    assert browser.get("/v1/session").json()["name"] == "Mary"
    assert again.status_code == 401
    guarded.access.sign_ins._limiter.storage.reset()


def test_a_link_that_is_over_signs_nobody_in(guarded: Guarded) -> None:
    person = guarded.person("late", "helpdesk", None)
    token, _ = guarded.access.people.make_link("local", person)
    with guarded.access.people.database.writing() as connection:
        connection.execute(update(SIGN_IN_LINKS).values(expires_at="2020-01-01T00:00:00.000Z"))

    assert guarded.browser().post("/v1/session", json={"token": token}).status_code == 401


def test_a_disabled_person_is_out_at_once(guarded: Guarded) -> None:
    person = guarded.person("gone", "technician")
    browser = guarded.browser()
    browser.post("/v1/session", json={"login": "gone", "password": PASSWORD})
    before = browser.get("/v1/cases").status_code
    guarded.client.patch(f"/v1/people/{person}", json={"disabled": True}, headers=guarded.admin)

    assert (before, browser.get("/v1/cases").status_code) == (200, 401)
    assert browser.post("/v1/session", json={"login": "gone", "password": PASSWORD}).status_code == 401
    guarded.access.sign_ins._limiter.storage.reset()


def test_the_last_administrator_stays_one(guarded: Guarded) -> None:
    guarded.access.people.add_organisation("solo", "Solo")
    person = guarded.access.people.add("solo", "solo-admin", "Solo", "administrator")
    key = guarded.access.keys.add("solo", "k", SCOPES, 1, "test")[1]
    headers = {"Authorization": f"Bearer {key}"}
    response = guarded.client.patch(f"/v1/people/{person.id}", json={"role": "technician"}, headers=headers)

    assert (response.status_code, kind_of(response)) == (409, "last-administrator")


def test_a_sign_in_name_is_used_once(guarded: Guarded) -> None:
    guarded.person("twice", "technician")
    person = {"login": "TWICE", "name": "T", "role": "technician"}

    assert kind_of(guarded.client.post("/v1/people", json=person, headers=guarded.admin)) == "login-taken"


def test_guessing_passwords_is_slowed_down(guarded: Guarded) -> None:
    guarded.access.sign_ins._limiter.storage.reset()
    tries = [
        guarded.browser().post("/v1/session", json={"login": "guessed", "password": f"guess number {it}"})
        for it in range(SIGN_INS_A_MINUTE + 1)
    ]
    guarded.access.sign_ins._limiter.storage.reset()

    assert [it.status_code for it in tries] == [401] * SIGN_INS_A_MINUTE + [429]
    assert int(tries[-1].headers["retry-after"]) >= 1


def test_guessing_at_several_nodes_gets_no_more_tries(guarded: Guarded) -> None:
    guarded.person("spread", "technician")
    nodes = [open_access(guarded.access.people.database, guarded=True) for _ in range(3)]
    for number in range(SIGN_INS_A_MINUTE):
        with pytest.raises(WrongSignIn):
            nodes[number % 3].sign_in("spread", "a wrong guess", None, "192.0.2.1")
    with pytest.raises(TooMany):
        nodes[0].sign_in("spread", PASSWORD, None, "192.0.2.1")
    with guarded.access.audit.database.writing() as connection:
        refused = update(AUDIT).where(AUDIT.c.action == "sign-in-refused")
        connection.execute(refused.values(at="2190-01-01T00:00:00.000Z"))

    assert nodes[1].sign_in("spread", PASSWORD, None, "192.0.2.1").login == "spread", "a wrong clock locks nobody out"


def test_a_clock_that_was_set_back_does_not_shut_a_caller_out() -> None:
    limit = new_limit(3)
    for _ in range(3):
        limit.take("a caller")
    with pytest.raises(TooMany):
        limit.take("a caller")
    for it in limit._limiter.storage.events.pop("LIMITER/a caller/3/1/minute"):
        it.atime, it.expiry = it.atime + 3600, it.expiry + 3600
        limit._limiter.storage.events.setdefault("LIMITER/a caller/3/1/minute", []).append(it)

    assert "r=2" in limit.take("a caller")["RateLimit"]


def test_answers_tell_what_is_left_of_the_callers_share(guarded: Guarded) -> None:
    headers = guarded.as_key("cases:read")
    first = guarded.client.get("/v1/cases", headers=headers)
    second = guarded.client.get("/v1/cases", headers=headers)

    assert first.headers["ratelimit-policy"] == '"caller";q=1200;w=60'
    assert [re.findall(r"r=(\d+)", it.headers["ratelimit"]) for it in (first, second)] == [["1199"], ["1198"]]


def test_too_many_requests_are_refused_with_when_to_come_back(tmp_path: Path) -> None:
    settings = Settings(tmp_path / "a.db", sign_in=True, requests_a_minute=3)
    with TestClient(create_app(settings)) as client:
        access: AccessDesk = client.app.state.access  # type: ignore[attr-defined]
        keys = [access.keys.add("local", "k", SCOPES, 1, "test")[1] for _ in range(2)]
        one, other = ({"Authorization": f"Bearer {it}"} for it in keys)
        statuses = [client.get("/v1/sites", headers=one).status_code for _ in range(4)]
        last = client.get("/v1/sites", headers=one)
        neighbour = client.get("/v1/sites", headers=other)

    assert statuses == [200, 200, 200, 429]
    assert kind_of(last) == "quota-exceeded"
    assert 1 <= int(last.headers["retry-after"]) <= 60
    assert neighbour.status_code == 200


def test_a_page_of_another_site_changes_nothing(guarded: Guarded) -> None:
    guarded.person("victim", "administrator")
    browser = guarded.browser()
    browser.post("/v1/session", json={"login": "victim", "password": PASSWORD})
    for headers in ({"Origin": "https://elsewhere.example"}, {"Sec-Fetch-Site": "cross-site"}, {"Origin": "null"}):
        response = browser.post("/v1/cases", json={}, headers=headers)
        assert (response.status_code, kind_of(response)) == (403, "foreign-page")
    own = browser.post("/v1/cases", json={}, headers={"Origin": "http://testserver", "Sec-Fetch-Site": "same-origin"})

    assert own.status_code == 201


def test_what_is_done_about_access_is_logged(guarded: Guarded) -> None:
    wanted = {"name": "logged", "scopes": ["cases:read"]}
    made = guarded.client.post("/v1/keys", json=wanted, headers=guarded.admin).json()
    guarded.client.delete(f"/v1/keys/{made['id']}", headers=guarded.admin)
    page = guarded.client.get("/v1/audit", params={"limit": 2}, headers=guarded.admin).json()
    before = guarded.client.get(page["next"], headers=guarded.admin).json()

    assert [it["action"] for it in page["lines"]] == ["key-revoked", "key-made"]
    assert page["lines"][0]["target"] == made["id"]
    assert before["lines"][0]["id"] < page["lines"][-1]["id"]
    assert made["key"] not in str(page)


def test_the_phone_page_leads_to_the_sign_in_page(guarded: Guarded) -> None:
    browser = guarded.browser()
    front = browser.get("/", follow_redirects=False)
    page = browser.get("/sign-in")

    assert (front.status_code, front.headers["location"]) == (303, "/sign-in")
    assert "<form" in page.text
    assert "<script" not in page.text


def test_on_its_own_machine_nobody_signs_in_and_the_service_says_so(client: TestClient) -> None:
    me = client.get("/v1/session").json()

    assert (me["sign_in"], me["organisation"]) == (False, "local")
    assert "own machine" in me["says"]


def test_without_sign_in_the_service_answers_only_to_its_own_names(tmp_path: Path) -> None:
    settings = Settings(tmp_path / "a.db", names=frozenset({"localhost", "127.0.0.1", "::1"}))
    with TestClient(create_app(settings), base_url="http://rebound.example") as client:
        refused = client.get("/v1/sites")
        own = client.get("/v1/sites", headers={"Host": "localhost:8080"})

    assert (refused.status_code, own.status_code) == (401, 200)


def test_the_names_of_this_machine_are_told_from_others() -> None:
    assert [is_loopback(it) for it in ("localhost", "127.0.0.1", "127.9.9.9", "::1")] == [True] * 4
    assert [is_loopback(it) for it in ("0.0.0.0", "::", "192.168.1.5", "example.org", "")] == [False] * 5


def test_it_does_not_listen_elsewhere_while_nobody_can_sign_in(tmp_path: Path) -> None:
    command = [sys.executable, "-c", "from api.cli.main import main; main()"]
    serve = [*command, "serve", "--host", "0.0.0.0", "--port", "0", "--data", str(tmp_path)]
    done = subprocess.run(serve, capture_output=True, text=True, cwd=ROOT, check=False, timeout=60)

    assert done.returncode == 1
    assert "ventsleuth access person" in done.stderr


def test_the_command_line_lets_the_first_person_in(tmp_path: Path) -> None:
    command = [sys.executable, "-c", "from api.cli.main import main; main()", "access"]
    data = ["--data", str(tmp_path)]
    added = subprocess.run([*command, "person", "boss", "Boss", *data], capture_output=True, text=True, cwd=ROOT)
    key = subprocess.run(
        [*command, "key", "k", "--scope", "cases:read", *data], capture_output=True, text=True, cwd=ROOT
    )
    listed = subprocess.run([*command, "list", *data], capture_output=True, text=True, cwd=ROOT).stdout
    token = added.stdout.rpartition("token=")[2].strip()
    node = Node(str(tmp_path), "--sign-in").wait()
    browser = TestClient(create_app(Settings(tmp_path / DATABASE, sign_in=True)))
    with browser:
        signed = browser.post("/v1/session", json={"token": token})
        opened_by_key = browser.get("/v1/cases", headers={"Authorization": f"Bearer {key.stdout.strip()}"})
    node.stop()

    assert signed.json()["role"] == "administrator"
    assert opened_by_key.status_code == 200
    assert "boss" in listed
    assert "cases:read" in listed


def test_who_did_what_is_written_in_the_case(guarded: Guarded) -> None:
    case = opened(guarded.client, guarded.admin)["case"]

    assert case["opened_by"].startswith("key ")
