"""Looking after a running service."""

from __future__ import annotations

import json
import logging
import shutil
import sqlite3
import subprocess
import sys
import time
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from sqlalchemy import select, text, update

from api.app import Settings, create_app
from api.bootstrap import ROOT
from api.cases.done import Answer, Request, keep_answer
from api.cli.where import DATABASE
from api.operation import retention
from api.operation.erasure import erase_organisation
from api.operation.log_lines import JsonLines
from api.operation.readiness import check_clock, check_disk, check_file
from api.operation.retention import Housekeeping, SteadyClock, forget
from api.storage.tables import ANSWERS, CASES, CLASSES, DONE_REQUESTS, HEARD, LEARNERS, METADATA, PRACTICES, SITTINGS
from api.who import Who
from tests.api.case_calls import DEAD, add, added, opened
from tests.api.databases import KINDS
from tests.api.serving import wait_until
from tests.api.test_isolation import teach

UNIT = ROOT / "api" / "deploy" / "ventsleuth.service"


@pytest.fixture(scope="module", params=KINDS)
def desk(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """Return a client of a service on each kind of database."""
    place: Any = tmp_path_factory.mktemp("operation") / "operation.db"
    if request.param == "postgresql":
        place = request.getfixturevalue("postgres").make_database("operation")
    with TestClient(create_app(Settings(place, demos=("small",)))) as client:
        yield client


def database_of(desk: TestClient) -> Any:
    """Return the database of a service."""
    return desk.app.state.service.store.database  # type: ignore[attr-defined]


def doctor(folder: Path) -> subprocess.CompletedProcess[str]:
    """Run `ventsleuth doctor` on a folder."""
    command = [sys.executable, "-c", "from api.cli.main import main; main()", "doctor", "--data", str(folder)]
    return subprocess.run(command, capture_output=True, text=True, cwd=ROOT, check=False)


def test_a_service_that_can_do_its_work_is_ready(desk: TestClient) -> None:
    ready = desk.get("/readyz")

    assert ready.status_code == 200
    assert {it["what"]: it["is_well"] for it in ready.json()["checks"]} == dict.fromkeys(
        ("database", "engine", "knowledge", "disk"), True
    )


def test_a_service_whose_tables_are_not_its_own_is_not_ready(desk: TestClient) -> None:
    database = database_of(desk)
    with database.writing() as connection:
        before = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
        connection.execute(text("UPDATE alembic_version SET version_num = 'r0001'"))
    unready = desk.get("/readyz")
    with database.writing() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = :it"), {"it": before})

    assert (unready.status_code, unready.json()["ready"]) == (503, False)


def test_requests_are_counted_by_route_and_never_by_id(desk: TestClient) -> None:
    case_id = opened(desk)["case"]["id"]
    desk.get(f"/v1/cases/{case_id}")
    desk.get("/v1/nothing/at/all")
    told = desk.get("/metrics").text

    assert 'ventsleuth_answers_total{method="GET",route="/v1/cases/{case_id}",status="200"}' in told
    assert "ventsleuth_request_seconds_bucket" in told
    assert case_id not in told
    assert "at/all" not in told


def test_every_answer_carries_an_id_and_a_sensible_one_of_the_caller_is_kept(desk: TestClient) -> None:
    given = desk.get("/healthz", headers={"X-Request-Id": "phone-7.3"}).headers["x-request-id"]
    made = desk.get("/healthz", headers={"X-Request-Id": "<script>"}).headers["x-request-id"]

    assert given == "phone-7.3"
    assert len(made) == 16


def test_the_log_names_case_and_caller_and_nothing_that_was_typed(
    desk: TestClient, caplog: pytest.LogCaptureFixture
) -> None:
    with caplog.at_level(logging.INFO, "ventsleuth.requests"):
        case_id = opened(desk, site="small", text="private words about someone")["case"]["id"]
        added(desk, case_id, {"kind": "note", "text": "private too"})
        desk.get("/v1/cases", params={"q": "private"})
    lines = [json.loads(JsonLines().format(it)) for it in caplog.records if it.name == "ventsleuth.requests"]

    assert lines[1]["case"] == case_id
    assert {"at", "request_id", "route", "status", "ms", "who", "org"} <= lines[1].keys()
    assert "private" not in json.dumps(lines)


def test_an_error_is_logged_by_its_places_and_not_by_its_words() -> None:
    try:
        raise ValueError("private words")
    except ValueError:
        record = logging.getLogger("x").makeRecord("x", logging.ERROR, "f", 1, "it failed", (), sys.exc_info())
    line = JsonLines().format(record)

    assert json.loads(line)["error"] == "ValueError"
    assert "test_operation.py" in line
    assert "private" not in line


def test_closed_cases_and_texts_go_after_the_days_the_organisation_says(desk: TestClient) -> None:
    database = database_of(desk)
    old, young, still_open = (opened(desk, **{**DEAD}, text="said then")["case"]["id"] for _ in range(3))
    for it in (old, young):
        added(desk, it, {"kind": "closed", "outcome": "called-off"})
    with database.writing() as connection:
        long_ago = "2020-01-01T00:00:00.000Z"
        connection.execute(update(CASES).where(CASES.c.id == old).values(closed_at=long_ago))
        connection.execute(update(CASES).where(CASES.c.id == still_open).values(opened_at=long_ago))
        connection.execute(update(HEARD).values(heard_at=long_ago))
    kept_for_ever = forget(database)
    set_to = desk.patch("/v1/organisation", json={"retention_days": 30}).json()
    gone = forget(database)
    desk.patch("/v1/organisation", json={"retention_days": None})

    assert (kept_for_ever.cases, kept_for_ever.texts) == (0, 0)
    assert set_to["retention_days"] == 30
    assert gone.cases == 1
    assert gone.texts >= 3
    assert [desk.get(f"/v1/cases/{it}").status_code for it in (old, young, still_open)] == [404, 200, 200]


def test_an_erased_person_is_named_nowhere(desk: TestClient) -> None:
    people = desk.app.state.access.people  # type: ignore[attr-defined]
    people.add("local", "keeper", "Keeper", "administrator")
    person = desk.post("/v1/people", json={"login": "zebedee", "name": "Zebedee Quill", "role": "technician"}).json()
    people.start_session(person["id"])
    erased = desk.delete(f"/v1/people/{person['id']}")

    assert erased.status_code == 204
    assert "zebedee" not in everything(desk).lower()
    assert desk.delete(f"/v1/people/{person['id']}").status_code == 404


def test_an_erased_case_leaves_nothing_behind(desk: TestClient) -> None:
    case_id = opened(desk, {"Idempotency-Key": "erased-later-1"}, site="small", text="quagga words")["case"]["id"]
    kept = opened(desk, {"Idempotency-Key": "kept-after-1"}, site="small", text="zebra words")["case"]["id"]
    add(desk, case_id, {"kind": "note", "text": "quagga again"}, key="erased-later-2")
    desk.post(f"/v1/cases/{case_id}/attachments", content=b"quagga", headers={"content-type": "text/plain"})
    before = everything(desk)
    erased = desk.delete(f"/v1/cases/{case_id}")
    after = everything(desk)

    assert erased.status_code == 204
    assert "quagga" in before
    assert "quagga" not in after
    assert after.count("zebra words") == before.count("zebra words")
    assert desk.get("/v1/cases", params={"q": "quagga"}).json()["cases"] == []
    assert desk.get(f"/v1/cases/{kept}").status_code == 200


def test_training_goes_after_the_days_the_organisation_says(desk: TestClient) -> None:
    ids = teach(desk)
    database = database_of(desk)
    at = {CLASSES: "ends_at", PRACTICES: "began_at", LEARNERS: "seen_at"}
    desk.patch("/v1/organisation", json={"retention_days": 30})
    young = forget(database)
    with database.writing() as connection:
        for table, column in at.items():
            connection.execute(update(table).values({column: "2020-01-01T00:00:00.000Z"}))
    old = forget(database)
    desk.patch("/v1/organisation", json={"retention_days": None})
    with database.reading() as connection:
        left = [connection.execute(it.select()).all() for it in (*at, SITTINGS, ANSWERS)]

    assert (young.training, old.training) == (0, 3)
    assert left == [[], [], [], [], []]
    assert desk.get(f"/v1/quizzes/{ids['quiz_id']}").status_code == 200


def test_an_organisation_goes_with_all_it_has(desk: TestClient) -> None:
    access = desk.app.state.access  # type: ignore[attr-defined]
    access.people.add_organisation("leaving", "Leaving")
    access.people.add("leaving", "leaver", "Leaver", "administrator")
    database_of_store = desk.app.state.service.store.of("leaving")  # type: ignore[attr-defined]
    database_of_store.put_site("a", "A", {"name": "A"})
    access.audit.note_as("leaving", "somebody", "left", "the leavers")
    with database_of(desk).writing() as connection:
        request = Request(Who("leaving", "leaver", "", "", frozenset()), "leaving-1", "")
        keep_answer(connection, request, Answer(200, b"a leaver's case"))

    assert erase_organisation(database_of(desk), "leaving")
    assert "leaver" not in everything(desk)
    assert database_of_store.sites() == []


def test_nothing_is_removed_by_a_clock_that_was_moved(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Stated behaviour: it waits a day, and until the clock agrees with what was kept and with the database's own."""
    with TestClient(create_app(Settings(tmp_path / DATABASE, demos=("small",)))) as client:
        case_id = opened(client)["case"]["id"]
        added(client, case_id, {"kind": "closed", "outcome": "called-off"})
        client.patch("/v1/organisation", json={"retention_days": 30})
        clock = SteadyClock()
        steady = clock.is_steady()
        clock._apart_s -= 400 * 86_400  # as if it had shown another year until now
        later_by_a_year = Housekeeping(database_of(client), 0.05, clock)
        with database_of(client).writing() as connection:
            connection.execute(update(CASES).values(closed_at="2020-01-01T00:00:00.000Z"))
        time.sleep(0.5)
        later_by_a_year.close()
        kept = client.get(f"/v1/cases/{case_id}").status_code
        monkeypatch.setattr(retention, "STEADY_AFTER_S", 0.0)
        trusted_again = Housekeeping(database_of(client), 0.05, clock)
        wait_until(lambda: client.get(f"/v1/cases/{case_id}").status_code == 404, 10)
        trusted_again.close()

    assert steady
    assert kept == 200


def everything(desk: TestClient) -> str:
    """Return all rows of all tables as text."""
    with database_of(desk).reading() as connection:
        answers = connection.execute(select(DONE_REQUESTS.c.answer)).scalars()
        tables = [connection.execute(table.select()).all() for table in METADATA.sorted_tables]
        return str((tables, [zlib.decompress(it) for it in answers]))


def test_the_doctor_finds_a_well_service_well(tmp_path: Path) -> None:
    before = doctor(tmp_path)
    with TestClient(create_app(Settings(tmp_path / DATABASE))) as client:
        opened(client, symptoms=[{"id": "panel-dark"}])
    after = doctor(tmp_path)

    assert (before.returncode, after.returncode) == (0, 0), after.stdout
    assert "NOT WELL" not in after.stdout
    for what in ("database", "file", "disk", "clock", "knowledge", "engine"):
        assert what in after.stdout


def test_the_doctor_says_what_to_do_about_a_broken_file(tmp_path: Path) -> None:
    with TestClient(create_app(Settings(tmp_path / DATABASE, demos=("small", "medium")))):
        pass
    whole = bytearray((tmp_path / DATABASE).read_bytes())
    whole[8192:24576] = bytes(16384)
    (tmp_path / DATABASE).write_bytes(whole)
    done = doctor(tmp_path)

    assert done.returncode == 1
    assert "NOT WELL  file" in done.stdout or "NOT WELL  database" in done.stdout


def test_a_clock_that_was_set_back_and_a_full_disk_are_noticed(tmp_path: Path) -> None:
    path = tmp_path / DATABASE
    with TestClient(create_app(Settings(path))) as client:
        opened(client, symptoms=[{"id": "panel-dark"}])
        database = database_of(client)
        well = check_clock(database)
        with sqlite3.connect(path) as connection:
            connection.execute("UPDATE case_events SET at = '2190-01-01T00:00:00.000Z'")
        connection.close()
        ill = check_clock(database)

    assert (well.is_well, ill.is_well) == (True, False)
    assert check_disk(path).is_well
    assert not check_disk(path, least_free_bytes=10**18).is_well
    assert check_file(path).is_well


def test_the_systemd_unit_is_sound() -> None:
    """Outside check: systemd-analyze."""
    program = shutil.which("systemd-analyze")
    if program is None:
        pytest.skip("systemd-analyze is not here")
    done = subprocess.run([program, "verify", str(UNIT)], capture_output=True, text=True, check=False)
    faults = [it for it in done.stderr.splitlines() if "ventsleuth" in it and "is not executable" not in it]

    assert faults == []


def test_the_commands_in_the_deployment_files_exist() -> None:
    words = UNIT.read_text(encoding="utf-8").partition("ExecStart=")[2].splitlines()[0].split()
    container = (UNIT.parent / "Containerfile").read_text(encoding="utf-8")
    sent = json.loads(container.rpartition("CMD ")[2])
    command = [sys.executable, "-c", "from api.cli.main import main; main()", "serve", "--help"]
    options = subprocess.run(command, capture_output=True, text=True, cwd=ROOT, check=True).stdout

    for word in (*words, *sent):
        if word.startswith("--"):
            assert word.replace("--no-demo", "--demo / --no-demo") in options or word in options
    for file in ("requirements-build.txt", "requirements.txt"):
        assert file in container
        assert (ROOT / file).is_file()
