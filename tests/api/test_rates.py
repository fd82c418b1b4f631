"""What closed cases teach over HTTP, and to whom, on SQLite and on PostgreSQL."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from click import Command
from click.testing import CliRunner
from fastapi.testclient import TestClient
from sqlalchemy import insert

from api.app import Settings, create_app, describe_site
from api.cases.record import Records
from api.cases.replay import replay
from api.cli.knowledge_rates import command as rates_command
from api.cli.knowledge_unheard import command as unheard_command
from api.operation.retention import forget as forget_old_cases
from api.rates import count_case, counts_of, last_version
from api.storage.clock import now_text
from api.storage.tables import LOCAL, ORGANISATIONS
from api.store import open_store
from api.who import ROLES, SCOPES
from diag.demo import load_demo
from diag.learning import Confirmed
from tests.api.case_calls import ANSWER, AT, opened
from tests.api.databases import KINDS
from tests.api.serving import serving

MOTOR = "drive-motor-failed"
DEAD: dict[str, Any] = {"symptoms": [{"id": "drive-dead", "part": "d1"}], "at": AT}
TIMES = 4


@dataclass
class Team:
    """An organisation as its caller sees it: a client that signs in as everything, and its own site."""

    client: TestClient
    headers: dict[str, str]

    def ask(self, method: str, path: str, **more: Any) -> Any:
        """Return what is answered to the team."""
        response = self.client.request(method, path, headers={**self.headers, "If-Match": "*"}, **more)
        assert response.status_code < 400, response.text
        return response.json() if response.content else None

    def open(self, **request: Any) -> dict[str, Any]:
        """Open a case and return all that came back."""
        return opened(self.client, self.headers, **({"site": "hall"} | DEAD | request))

    def add(self, case_id: str, *events: dict[str, Any]) -> Any:
        """Add events to a case."""
        return self.ask("POST", f"/v1/cases/{case_id}/events", json={"events": list(events)})

    def find(self, cause: str, outcome: str = "repaired") -> str:
        """Open a case, confirm a cause, close it and return its id."""
        case_id: str = self.open()["case"]["id"]
        self.add(case_id, {"kind": "cause-confirmed", "cause": cause}, {"kind": "closed", "outcome": outcome})
        return case_id

    def chance(self, cause: str = MOTOR) -> float:
        """Return how likely a cause is taken to be when the drive is dead and nothing else is known."""
        return chance_in(self.ask("POST", "/v1/diagnoses", json={"site": "hall", **DEAD}), cause)

    def seen(self, cause: str = MOTOR) -> int:
        """Return how many closed cases count for a cause."""
        return sum(int(it["seen"]) for it in self.ask("GET", "/v1/rates")["rates"] if it["cause"] == cause)


def chance_in(diagnosis: dict[str, Any], cause: str) -> float:
    """Return the probability of a cause at all parts together."""
    return float(sum(it["probability"] for it in diagnosis["causes"] if it["id"] == cause))


@pytest.fixture(scope="module", params=KINDS)
def client(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """Return a client of a service that asks who it is, on each kind of database."""
    place: Any = tmp_path_factory.mktemp("rates") / "rates.db"
    if request.param == "postgresql":
        place = request.getfixturevalue("postgres").make_database("rates")
    with TestClient(create_app(Settings(place, sign_in=True))) as client:
        yield client


@pytest.fixture
def team(client: TestClient, request: pytest.FixtureRequest) -> Team:
    """Return a new organisation with a hall like the small demo site."""
    return new_team(client, f"org-{abs(hash(request.node.name)) % 10**9}")


def new_team(client: TestClient, org: str) -> Team:
    """Return a new organisation with a hall like the small demo site."""
    access: Any = client.app.state.access  # type: ignore[attr-defined]
    access.people.add_organisation(org, org)
    team = Team(client, {"Authorization": f"Bearer {access.keys.add(org, 'k', SCOPES, 1, 'test')[1]}"})
    team.ask("PUT", "/v1/sites/hall", json={**describe_site(load_demo("small")), "kind": "school"})
    return team


def database_of(team: Team) -> Any:
    """Return the database of the service."""
    return team.client.app.state.service.store.database  # type: ignore[attr-defined]


def org_of(team: Team) -> str:
    """Return the id of the team's organisation."""
    return str(team.ask("GET", "/v1/organisation")["id"])


def test_causes_that_were_found_lead_sooner_and_why_says_how_often_they_were_seen(team: Team) -> None:
    before = team.chance()
    for _ in range(TIMES):
        team.find(MOTOR)
    case = team.open()

    motor = next(it for it in case["diagnosis"]["causes"] if it["id"] == MOTOR)
    says = next(it["says"] for it in motor["why"] if it["effect"] == "learned")
    assert team.chance() == chance_in(case["diagnosis"], MOTOR) > before
    assert says.startswith("Seen 4 times here in 4 closed cases, 4 of them at sites of this kind (school).")
    assert case["case"]["rates"] == TIMES


def test_the_list_of_rates_shows_what_was_learned_beside_what_is_given(team: Team) -> None:
    team.find(MOTOR)
    rates = team.ask("GET", "/v1/rates", params={"site_kind": "school"})
    motor = rates["rates"][0]

    assert (rates["version"], rates["cases"], rates["site_kind"]) == (1, 1, "school")
    assert (motor["cause"], motor["seen"], motor["seen_at_kind"]) == (MOTOR, 1, 1)
    assert motor["learned"] > motor["given"]
    elsewhere = team.ask("GET", "/v1/rates", params={"site_kind": "library"})["rates"][0]
    assert motor["learned"] > elsewhere["learned"] > elsewhere["given"]
    assert elsewhere["seen_at_kind"] == 0


def test_a_reopened_case_takes_its_count_back_and_closed_again_counts_once(team: Team) -> None:
    before = team.chance()
    case_id = team.find(MOTOR)
    after = team.chance()
    team.add(case_id, {"kind": "reopened"})
    reopened = team.chance()
    team.add(case_id, {"kind": "cause-confirmed", "cause": "core-open"}, {"kind": "closed", "outcome": "repaired"})

    assert after > before == reopened
    assert (team.seen(), team.seen("core-open")) == (0, 1)


@pytest.mark.parametrize(
    ("events", "outcome"),
    [
        ([], "not-found"),
        ([{"kind": "repair", "cause": MOTOR, "helped": False}], "handed-over"),
    ],
)
def test_a_cause_that_was_not_it_after_all_does_not_count(team: Team, events: list[Any], outcome: str) -> None:
    case_id = team.open()["case"]["id"]
    closed = {"kind": "closed", "outcome": outcome}
    team.add(case_id, {"kind": "cause-confirmed", "cause": MOTOR}, *events, closed)

    assert (team.seen(), team.ask("GET", "/v1/rates")["version"]) == (0, 0)


def test_a_case_goes_on_as_it_began_whatever_others_teach_and_replays_to_the_same(team: Team) -> None:
    team.find(MOTOR)
    case = team.open()
    case_id = case["case"]["id"]
    for _ in range(TIMES):
        team.find("core-open")
    team.ask("DELETE", "/v1/rates")
    after = team.add(case_id, ANSWER)
    _, events = Records(database_of(team)).read(org_of(team), case_id)
    steps = list(replay(team.client.app.state.service, org_of(team), events))  # type: ignore[attr-defined]

    assert team.ask("GET", f"/v1/cases/{case_id}/diagnosis") == after["diagnosis"]
    assert after["case"]["rates"] == 1
    assert [it.is_same for it in steps] == [True, True]
    assert team.open()["diagnosis"]["causes"] != case["diagnosis"]["causes"]


def test_who_looks_after_the_organisation_can_begin_anew_and_later_cases_count_again(team: Team) -> None:
    before = team.chance()
    first = team.find(MOTOR)
    forgotten = team.ask("DELETE", "/v1/rates")
    none = team.chance()
    team.add(first, {"kind": "reopened"})
    team.find(MOTOR)

    assert (forgotten["cases"], none) == (0, before)
    assert team.seen() == 1
    assert "rates-forgotten" in {it["action"] for it in team.ask("GET", "/v1/audit")["lines"]}


def test_an_erased_case_is_unlearned_and_one_past_keeping_is_not(team: Team) -> None:
    erased, old = team.find(MOTOR), team.find(MOTOR)
    team.ask("DELETE", f"/v1/cases/{erased}")
    team.ask("PATCH", "/v1/organisation", json={"retention_days": 1})
    with database_of(team).writing() as connection:
        connection.exec_driver_sql(f"UPDATE cases SET closed_at = '2020-01-01T00:00:00.000Z' WHERE id = '{old}'")
    gone = forget_old_cases(database_of(team))

    assert gone.cases == 1
    assert team.seen() == 1


def test_nothing_is_learned_from_another_organisation(client: TestClient, team: Team) -> None:
    other = new_team(client, f"{org_of(team)}-south")
    before = other.ask("GET", "/v1/rates"), other.chance()
    for _ in range(TIMES):
        team.find(MOTOR)
    case = {"symptoms": [{"id": "drive-dead"}], "at": AT}
    mine, theirs = (weight_in(it.ask("POST", "/v1/pack/case", json=case)) for it in (team, other))

    assert team.chance() > other.chance()
    assert mine > theirs
    assert (other.ask("GET", "/v1/rates"), other.chance()) == before
    assert other.open()["case"]["rates"] == 0


def test_packs_that_are_kept_ready_are_kept_for_each_organisation(client: TestClient, team: Team) -> None:
    if database_of(team).is_sqlite:  # what is kept ready does not lie in the database
        other = new_team(client, f"{org_of(team)}-south")
        team.find(MOTOR)
        mine, theirs = (it.ask("GET", "/v1/pack/no-site") for it in (team, other))

        assert any(it[1] == "learned" for it in mine["reasons"])
        assert not any(it[1] == "learned" for it in theirs["reasons"])


def test_a_pack_for_the_time_without_signal_carries_what_was_learned(team: Team) -> None:
    before = weight_in(team.ask("POST", "/v1/pack/case", json={"site": "hall", **DEAD}))
    for _ in range(TIMES):
        team.find(MOTOR)
    after = team.ask("POST", "/v1/pack/case", json={"site": "hall", **DEAD})

    assert weight_in(after) > before
    assert any(it[1] == "learned" for it in after["reasons"])


def weight_in(pack: dict[str, Any]) -> float:
    """Return the weight of the motor before any check in the pack of one case."""
    return float(sum(weight for cause, _, weight, _ in pack["chapters"][0]["hypotheses"] if cause == MOTOR))


def test_cases_closed_at_the_same_time_each_count(team: Team) -> None:
    cases = [team.open()["case"]["id"] for _ in range(TIMES)]
    ends = {"kind": "cause-confirmed", "cause": MOTOR}, {"kind": "closed", "outcome": "repaired"}
    threads = [threading.Thread(target=team.add, args=(it, *ends)) for it in cases]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert (team.seen(), team.ask("GET", "/v1/rates")["version"]) == (TIMES, TIMES)


def test_an_old_version_of_the_rates_stays_as_it_was(team: Team) -> None:
    database, org = database_of(team), org_of(team)
    told = [
        ("a", MOTOR, "school"),
        ("b", MOTOR, None),
        ("a", None, "school"),
        ("a", None, None),
        ("b", "core-open", None),
    ]
    for case_id, cause, kind in told:
        with database.writing() as connection:
            count_case(connection, org, case_id, cause, kind)

    assert [dict(counts_of(database, org, it)) for it in range(last_version(database, org) + 1)] == [
        {},
        {Confirmed(MOTOR, "school"): 1},
        {Confirmed(MOTOR, "school"): 1, Confirmed(MOTOR, None): 1},
        {Confirmed(MOTOR, None): 1},
        {Confirmed("core-open", None): 1},
    ]


def test_only_those_who_write_entries_read_what_nobody_understood(team: Team) -> None:
    access: Any = team.client.app.state.access  # type: ignore[attr-defined]
    for text in ("qwert zuiop", "qwert zuiop!", "drive dead"):
        team.ask("POST", "/v1/diagnoses", json={"text": text})
    found = team.ask("GET", "/v1/unheard")
    shares = {
        role: team.client.get(
            "/v1/unheard",
            headers={"Authorization": f"Bearer {access.keys.add(org_of(team), 'k', scopes, 1, 'test')[1]}"},
        ).status_code
        for role, scopes in ROLES.items()
    }

    assert (found["texts"], found["unheard"]) == (3, 2)
    assert found["groups"] == [{"count": 2, "text": "qwert zuiop", "others": ["qwert zuiop!"]}]
    assert {role for role, status in shares.items() if status == 200} == {"author", "administrator"}
    assert set(shares.values()) == {200, 403}


def test_the_command_shows_what_was_learned_beside_what_is_given_and_can_begin_anew(tmp_path: Path) -> None:
    with closing(open_store(tmp_path / "ventsleuth.db")) as store, store.database.writing() as connection:
        for case_id in "abc":
            count_case(connection, LOCAL, case_id, MOTOR, "school")
    given = run(rates_command)
    learned = run(rates_command, "--data", str(tmp_path), "--site-kind", "school")
    anew = run(rates_command, "--data", str(tmp_path), "--forget")

    first, then = (next(it.split() for it in said.splitlines() if MOTOR in it) for said in (given, learned))
    assert then[0] == first[0]
    assert float(then[1]) > float(then[0])
    assert f"{MOTOR} (seen 3×)" in learned
    assert "what 3 closed cases made of it" in learned
    assert "what 0 closed cases made of it" in anew
    assert last_version_at(tmp_path) == 4


def last_version_at(folder: Path) -> int:
    """Return the version of the rates in a folder's database."""
    with closing(open_store(folder / "ventsleuth.db")) as store:
        return last_version(store.database, LOCAL)


def test_the_command_lists_the_unheard_of_one_organisation(tmp_path: Path) -> None:
    with closing(open_store(tmp_path / "ventsleuth.db")) as store:
        with store.database.writing() as connection:
            north = {"id": "north", "name": "North", "created_at": now_text(), "last_case": 0}
            connection.execute(insert(ORGANISATIONS).values(**north))
        store.of("north").hear("qwert zuiop", None)
        store.hear("asdf ghjk", None)
    mine, theirs = (run(unheard_command, "--data", str(tmp_path), *more) for more in ((), ("--org", "north")))

    assert mine.splitlines() == ["    1  asdf ghjk", "1 of 1 texts were not understood."]
    assert theirs.splitlines() == ["    1  qwert zuiop", "1 of 1 texts were not understood."]


def test_an_author_asks_a_service_for_their_own_organisation(tmp_path: Path) -> None:
    with closing(open_store(tmp_path / "ventsleuth.db")) as store:
        store.hear("qwert zuiop", None)
    with serving(Settings(tmp_path / "ventsleuth.db")) as address:
        said = run(unheard_command, "--service", address)

    assert said.splitlines() == ["    1  qwert zuiop", "1 of 1 texts were not understood."]


def test_a_service_that_does_not_answer_is_told_of() -> None:
    refused = CliRunner().invoke(unheard_command, ["--service", "http://127.0.0.1:9"])
    wrong = CliRunner().invoke(unheard_command, ["--service", "file:///etc/hostname"])

    assert (refused.exit_code, wrong.exit_code) == (1, 2)
    assert "does not answer as a service would" in refused.output
    assert "is no address of a service" in wrong.output


def run(command: Command, *words: str) -> str:
    """Return what a command prints when it does what it is asked."""
    done = CliRunner().invoke(command, list(words))
    assert done.exit_code == 0, done.output
    return done.output
