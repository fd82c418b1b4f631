"""The help that goes out with a case: the escalation packet, the replay, the command line."""

from __future__ import annotations

import re
import subprocess
import sys
import zlib
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from sqlalchemy import text

from api.app import Settings, create_app
from api.cases.escalation import advice
from api.cases.state import CaseState
from api.cli.where import DATABASE
from api.schemas import CauseOut
from diag.likelihoods import SOMETHING_ELSE
from tests.api.case_calls import ANSWER, DEAD, added, opened


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder of the service's database."""
    return tmp_path_factory.mktemp("case-words")


@pytest.fixture(scope="module")
def desk(folder: Path) -> Iterator[TestClient]:
    """Return a client of a service on that folder."""
    with TestClient(create_app(Settings(folder / DATABASE, demos=("small",)))) as client:
        yield client


def case_command(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Run `ventsleuth case` on the folder."""
    command = [sys.executable, "-c", "from api.cli.main import main; main()", "case", *words, "--data", str(folder)]
    return subprocess.run(command, capture_output=True, text=True, check=False)


def worked_case(desk: TestClient) -> str:
    """Return a case with one of everything, its parts named or not."""
    case_id: str = opened(desk, **DEAD, text="window wont open", told=["when-cold"], events=[{"at": "11:48"}])["case"][
        "id"
    ]
    repair = {"kind": "repair", "cause": "core-open"}
    added(
        desk,
        case_id,
        {"kind": "understood", "symptoms": [{"id": "drive-dead"}]},
        {"kind": "understood", "symptoms": [{"id": "drive-dead", "part": "d1"}]},
        ANSWER,
        {"kind": "answer", "check": "volts-drive", "outcome": "cannot"},
        {"kind": "note", "text": "Key at <b>gate</b>"},
        {"kind": "remote-mode", "on": True},
        {"kind": "reading", "what": "mains voltage", "value": "231 V"},
        {"kind": "cause-confirmed", "cause": "core-open"},
        repair,
        {**repair, "part": "d1", "helped": True, "note": "new core"},
        {"kind": "proof", "what": "opened three times", "passed": True},
        {"kind": "hand-over", "to": "helpdesk"},
    )
    return case_id


def test_the_packet_says_what_was_noticed_checked_and_thought(desk: TestClient) -> None:
    packet = desk.get(f"/v1/cases/{worked_case(desk)}/escalation").json()

    assert packet["case"]["symptoms"][0]["id"] == "drive-dead"
    assert packet["site"]["parts"]["drive"] >= 1
    assert packet["asked"][0]["found"] == "0.2 V"
    assert packet["asked"][1]["found"] == "could not be made"
    assert packet["noticed"][0].endswith(", at d1")
    assert packet["causes"][0]["why"]
    assert packet["because"]


def test_help_is_wanted_when_nothing_is_understood_made_or_any_use(desk: TestClient) -> None:
    unknown = opened(desk, site="small", text="what is a good recipe for soup")["case"]["id"]
    helpless, unlucky, hopeful = (opened(desk)["case"]["id"] for _ in range(3))
    added(desk, helpless, {**ANSWER, "outcome": "cannot"})
    added(desk, unlucky, *({"kind": "repair", "cause": it, "helped": False} for it in ("core-open",) * 3))
    wanted = [
        desk.get(f"/v1/cases/{it}/escalation").json()["recommended"] for it in (unknown, helpless, unlucky, hopeful)
    ]

    assert wanted == [True, True, True, False]


def test_help_is_wanted_when_nothing_is_left_that_those_there_can_do(desk: TestClient) -> None:
    case_id = opened(desk)["case"]["id"]
    there = desk.get(f"/v1/cases/{case_id}/escalation").json()
    added(desk, case_id, {"kind": "crew", "competences": []})
    packet = desk.get(f"/v1/cases/{case_id}/escalation").json()

    assert not there["recommended"]
    assert packet["recommended"]
    assert packet["because"].startswith("No check or repair that is left is worth its time.")


def test_the_packet_says_of_which_answers_somebody_was_not_quite_sure(desk: TestClient) -> None:
    case_id = opened(desk)["case"]["id"]
    added(desk, case_id, {**ANSWER, "certainty": "think-so"}, {**ANSWER, "outcome": "cannot"})
    packet = desk.get(f"/v1/cases/{case_id}/escalation").json()

    assert [it["found"] for it in packet["asked"]] == ["0.2 V (not quite sure)", "could not be made"]
    assert packet["not_done"] == []


def test_help_is_wanted_when_something_else_leads() -> None:
    leading = CauseOut(id=SOMETHING_ELSE, part=None, part_kind="site", name="", where="", probability=0.4, why=[])

    assert advice([leading], CaseState())[0]
    assert not advice([leading.model_copy(update={"id": "core-open"})], CaseState())[0]


def test_the_packet_prints_on_one_page_and_lets_nothing_through(desk: TestClient) -> None:
    case_id = worked_case(desk)
    page = desk.get(f"/v1/cases/{case_id}/escalation.html")

    assert page.status_code == 200
    assert "Key at &lt;b&gt;gate&lt;/b&gt;" in page.text
    assert "Caution" in page.text
    assert "231 V" in page.text
    assert "not known whether it helped" in page.text
    assert "unsafe" not in page.headers["content-security-policy"]


def test_the_packet_is_one_page_of_pdf_where_a_printer_is(desk: TestClient) -> None:
    printed = desk.get(f"/v1/cases/{worked_case(desk)}/escalation.pdf")

    if printed.status_code == 503:
        assert "print" in printed.json()["detail"].lower()
        pytest.skip("nothing here prints PDF")
    assert printed.content.startswith(b"%PDF-")
    assert pages_in(printed.content) == 1


def pages_in(printed: bytes) -> int:
    """Return how many pages a PDF has, whether its objects lie open or in compressed streams."""
    packed = re.findall(rb"stream\r?\n(.*?)\r?\nendstream", printed, re.DOTALL)
    open_to_see = [printed]
    for it in packed:
        with suppress(zlib.error):
            open_to_see.append(zlib.decompress(it))
    return len(re.findall(rb"/Type\s*/Page(?!s)", b"\n".join(open_to_see)))


def test_a_case_replays_to_the_same_results(desk: TestClient, folder: Path) -> None:
    case_id = opened(desk)["case"]["id"]
    seq = added(desk, case_id, ANSWER)["events"][0]["seq"]
    added(desk, case_id, {"kind": "took-back", "seq": seq}, {**ANSWER, "outcome": "none"})
    done = case_command(folder, "replay", case_id)

    assert done.returncode == 0, done.stderr
    assert "4 of 4 results are the same." in done.stdout


def test_a_case_replays_on_the_site_as_it_was(desk: TestClient, folder: Path) -> None:
    desk.put("/v1/sites/annex", json={"name": "Annex", "drives": {"d1": {}}})
    case_id = opened(desk, **{**DEAD, "site": "annex"})["case"]["id"]
    desk.put("/v1/sites/annex", json={"name": "Annex", "drives": {"d2": {}}})

    assert "1 of 1 results are the same." in case_command(folder, "replay", case_id).stdout


def test_a_result_that_the_same_knowledge_does_not_give_again_is_a_defect(desk: TestClient, folder: Path) -> None:
    case_id = opened(desk)["case"]["id"]
    database: Any = desk.app.state.service.store.database  # type: ignore[attr-defined]
    with database.writing() as connection:
        change = 'UPDATE case_events SET data = replace(data, \'"digest": "\', \'"digest": "x\') WHERE case_id = :case'
        connection.execute(text(change), {"case": case_id})
    done = case_command(folder, "replay", case_id)

    assert done.returncode == 1
    assert "DIFFERS" in done.stdout


def test_the_command_lists_and_shows_cases(desk: TestClient, folder: Path) -> None:
    case_id = opened(desk, site="small", text="actuator runs wrong way")["case"]["id"]
    listed = case_command(folder, "list", "actuator wrong").stdout
    shown = case_command(folder, "show", case_id).stdout

    assert case_id in listed
    assert "text: text actuator runs wrong way" in shown
    assert case_command(folder, "show", "nothing").returncode == 1
