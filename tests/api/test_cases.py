"""Cases over HTTP, on SQLite and on PostgreSQL."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any

import pytest
from fastapi.testclient import TestClient

from api.app import Settings, create_app
from api.cases.examples import CASE_EXAMPLES, EVENTS_EXAMPLES
from api.cases.files import MOST_FILES
from api.cases.ids import new_id
from api.cases.record import Records
from api.cases.state import fold
from tests.api.case_calls import ANSWER, AT, DEAD, add, added, kind_of, opened
from tests.api.databases import KINDS

PNG = b"\x89PNG\r\n\x1a\n" + bytes(100)


@pytest.fixture(scope="module", params=KINDS)
def desk(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """Return a client of a service on each kind of database."""
    place: Any = tmp_path_factory.mktemp("cases") / "cases.db"
    if request.param == "postgresql":
        place = request.getfixturevalue("postgres").make_database("cases")
    with TestClient(create_app(Settings(place, demos=("small", "medium")))) as client:
        yield client


def test_a_case_is_opened_by_text_with_what_was_understood_and_the_next_check(desk: TestClient) -> None:
    answer = opened(desk, site="small", text="actuator runs wrong way", at=AT)

    assert [it["kind"] for it in answer["events"]] == ["opened", "text", "understood"]
    assert answer["case"]["symptoms"][0]["id"] == "runs-reversed"
    assert answer["case"]["title"] == "actuator runs wrong way"
    assert answer["diagnosis"]["causes"][0]["id"] == answer["case"]["leading_cause"]
    assert answer["diagnosis"]["next"]


def test_a_case_says_the_same_as_a_diagnosis_of_the_same_facts(desk: TestClient) -> None:
    case = added(desk, opened(desk)["case"]["id"], ANSWER)
    finding = {name: ANSWER[name] for name in ("check", "part", "outcome")}
    plain = desk.post("/v1/diagnoses", json={**DEAD, "findings": [finding]}).json()

    assert case["diagnosis"] == plain


def test_the_state_is_what_the_events_come_to_and_lists_agree(desk: TestClient) -> None:
    case_id = opened(desk)["case"]["id"]
    added(desk, case_id, ANSWER, {"kind": "note", "text": "Key at the gate"}, {"kind": "remote-mode", "on": True})
    added(desk, case_id, {"kind": "cause-confirmed", "cause": "core-open"})
    row, events = Records(desk.app.state.service.store.database).read("local", case_id)  # type: ignore[attr-defined]
    state = fold(events)

    assert [it.seq for it in events] == [1, 2, 3, 4, 5]
    assert (row.version, row.answers, row.confirmed_cause) == (5, 1, "core-open")
    assert (state.version, len(state.answers), state.remote_mode) == (5, 1, True)
    assert desk.get(f"/v1/cases/{case_id}").json()["notes"][0]["text"] == "Key at the gate"


def test_each_reasoned_event_records_the_knowledge_the_site_version_and_the_result(desk: TestClient) -> None:
    case_id = opened(desk)["case"]["id"]
    then = added(desk, case_id, ANSWER)["events"][0]["data"]["then"]

    assert then["knowledge_version"]
    assert then["site_version"] == 1
    assert len(then["digest"]) == 64
    assert then["leading"][0]["probability"] > 0


def test_an_answer_that_is_taken_back_leaves_the_case_as_it_was(desk: TestClient) -> None:
    first = opened(desk)
    case_id = first["case"]["id"]
    seq = added(desk, case_id, ANSWER)["events"][0]["seq"]
    after = added(desk, case_id, {"kind": "took-back", "seq": seq})

    assert after["case"]["answers"] == []
    assert after["diagnosis"]["causes"] == first["diagnosis"]["causes"]
    assert len(desk.get(f"/v1/cases/{case_id}/events").json()["events"]) == 3


def test_a_change_needs_the_version_it_is_for(desk: TestClient) -> None:
    case_id = opened(desk)["case"]["id"]
    body = {"events": [{"kind": "note", "text": "a"}]}
    without = desk.post(f"/v1/cases/{case_id}/events", json=body)
    current = add(desk, case_id, {"kind": "note", "text": "a"}, match='"1"')
    stale = add(desk, case_id, {"kind": "note", "text": "b"}, match='"1"')
    unreadable = add(desk, case_id, {"kind": "note", "text": "b"}, match="yesterday")

    assert (without.status_code, kind_of(without)) == (428, "version-needed")
    assert (current.status_code, current.headers["etag"]) == (201, '"2"')
    assert (stale.status_code, kind_of(stale), stale.headers["etag"]) == (412, "stale", '"2"')
    assert (unreadable.status_code, kind_of(unreadable)) == (422, "bad-version")


def test_a_reader_who_has_the_version_gets_no_body(desk: TestClient) -> None:
    case_id = opened(desk)["case"]["id"]
    tag = desk.get(f"/v1/cases/{case_id}").headers["etag"]
    same = desk.get(f"/v1/cases/{case_id}", headers={"If-None-Match": tag})
    added(desk, case_id, {"kind": "note", "text": "a"})
    other = desk.get(f"/v1/cases/{case_id}", headers={"If-None-Match": tag})

    assert (same.status_code, same.content) == (304, b"")
    assert other.status_code == 200


def test_a_retried_request_gets_the_same_bytes_and_does_nothing_again(desk: TestClient) -> None:
    first = desk.post("/v1/cases", json=DEAD, headers={"Idempotency-Key": "open-key-0001"})
    again = desk.post("/v1/cases", json=DEAD, headers={"Idempotency-Key": '"open-key-0001"'})
    case_id = first.json()["case"]["id"]
    one = add(desk, case_id, ANSWER, match='"1"', key="answer-key-1")
    two = add(desk, case_id, ANSWER, match='"1"', key="answer-key-1")

    assert (again.content, again.headers["etag"]) == (first.content, first.headers["etag"])
    assert two.content == one.content
    assert desk.get(f"/v1/cases/{case_id}").json()["version"] == 2


def test_a_key_that_comes_with_another_request_is_refused(desk: TestClient) -> None:
    desk.post("/v1/cases", json=DEAD, headers={"Idempotency-Key": "reused-key-1"})
    other = desk.post("/v1/cases", json={**DEAD, "language": "de"}, headers={"Idempotency-Key": "reused-key-1"})
    short = desk.post("/v1/cases", json=DEAD, headers={"Idempotency-Key": "x"})

    assert (other.status_code, kind_of(other)) == (422, "key-reused")
    assert (short.status_code, kind_of(short)) == (422, "bad-key")


def test_the_same_request_sent_by_many_at_once_is_done_once(desk: TestClient) -> None:
    case_id = opened(desk)["case"]["id"]
    answers: list[Any] = []

    def send() -> None:
        answers.append(add(desk, case_id, {"kind": "note", "text": "once"}, key="crowd-key-01"))

    crowd = [threading.Thread(target=send) for _ in range(8)]
    for it in crowd:
        it.start()
    for it in crowd:
        it.join()

    assert {it.status_code for it in answers} == {201}
    assert len({it.content for it in answers}) == 1
    assert len(desk.get(f"/v1/cases/{case_id}").json()["notes"]) == 1


def test_notes_of_many_at_once_are_all_kept_in_one_order(desk: TestClient) -> None:
    case_id = opened(desk)["case"]["id"]
    statuses: list[int] = []

    def send(number: int) -> None:
        statuses.append(add(desk, case_id, {"kind": "note", "text": f"note {number}"}).status_code)

    crowd = [threading.Thread(target=send, args=(number,)) for number in range(5)]
    for it in crowd:
        it.start()
    for it in crowd:
        it.join()
    events = desk.get(f"/v1/cases/{case_id}/events").json()["events"]

    assert statuses.count(201) == 5
    assert [it["seq"] for it in events] == [1, 2, 3, 4, 5, 6]


def test_events_of_one_request_are_kept_together_or_not_at_all(desk: TestClient) -> None:
    case_id = opened(desk)["case"]["id"]
    response = add(desk, case_id, {"kind": "note", "text": "a"}, {**ANSWER, "outcome": "nothing-known"})

    assert (response.status_code, kind_of(response)) == (422, "unknown-outcome")
    assert desk.get(f"/v1/cases/{case_id}").json()["version"] == 1


@pytest.mark.parametrize(
    ("event", "kind"),
    [
        ({**ANSWER, "check": "volt-drive"}, "unknown-check"),
        ({**ANSWER, "part": "d77"}, "unknown-part"),
        ({"kind": "reading", "what": "voltage", "value": "3 V", "part": "d77"}, "unknown-part"),
        ({"kind": "cause-confirmed", "cause": "core-opn"}, "bad-event"),
        ({"kind": "repair", "cause": "core-open", "part": "d77"}, "unknown-part"),
        ({"kind": "took-back", "seq": 1}, "bad-event"),
        ({"kind": "reopened"}, "bad-event"),
        ({"kind": "site", "site": "smal"}, "unknown-site"),
        ({"kind": "nothing-known"}, "bad-request"),
        ({"kind": "note", "text": "a", "colour": "red"}, "bad-request"),
        ({"kind": "understood", "symptoms": [{"id": "drive-ded"}]}, "unknown-symptom"),
        ({"kind": "understood", "symptoms": [], "events": [{"at": "some time ago"}]}, "bad-time"),
    ],
)
def test_an_event_that_cannot_be_is_refused_and_not_kept(desk: TestClient, event: dict[str, Any], kind: str) -> None:
    case_id = opened(desk)["case"]["id"]
    response = add(desk, case_id, event)

    assert kind_of(response) == kind, response.text
    assert response.status_code in (404, 409, 422)
    assert desk.get(f"/v1/cases/{case_id}").json()["version"] == 1


def test_a_closed_case_takes_notes_only_until_it_is_reopened(desk: TestClient) -> None:
    case_id = opened(desk)["case"]["id"]
    added(desk, case_id, {"kind": "remote-mode", "on": True}, {"kind": "closed", "outcome": "repaired"})
    refused = add(desk, case_id, ANSWER)
    added(desk, case_id, {"kind": "note", "text": "thanks"})
    again = added(desk, case_id, {"kind": "reopened"}, ANSWER)

    assert (refused.status_code, kind_of(refused)) == (409, "case-closed")
    assert (again["case"]["status"], again["case"]["visits"], again["case"]["remote_mode"]) == ("open", 2, False)


def test_a_repair_that_did_not_help_counts_against_its_cause(desk: TestClient) -> None:
    first = opened(desk)
    leading = first["diagnosis"]["causes"][0]
    repair = {"kind": "repair", "cause": leading["id"], "part": leading["part"], "helped": False}
    after = added(desk, first["case"]["id"], repair)

    assert after["diagnosis"]["causes"][0] != leading


def test_a_later_text_adds_what_it_means(desk: TestClient) -> None:
    case_id = opened(desk, site="small", text="what is a good recipe for soup", at=AT)["case"]["id"]
    after = added(desk, case_id, {"kind": "text", "text": "actuator runs wrong way"})

    assert [it["id"] for it in after["case"]["symptoms"]] == ["runs-reversed"]
    assert [it["kind"] for it in after["events"]] == ["text", "understood"]


def test_a_case_goes_on_with_its_version_of_the_site_until_it_takes_the_new_one(desk: TestClient) -> None:
    site = {"name": "Shed", "drives": {"d1": {}}}
    desk.put("/v1/sites/shed", json=site)
    case_id = opened(desk, site="shed", symptoms=[{"id": "drive-dead", "part": "d1"}], at=AT)["case"]["id"]
    desk.put("/v1/sites/shed", json={"name": "Shed", "drives": {"d9": {}}})
    answer = {"kind": "answer", "check": "volts-drive", "part": "d1", "outcome": "none"}
    kept = add(desk, case_id, answer)
    moved = add(desk, case_id, {"kind": "site", "site": "shed"})

    assert kept.status_code == 201
    assert (moved.status_code, kind_of(moved)) == (422, "unknown-part")


def test_a_case_without_a_stored_site_keeps_its_description(desk: TestClient) -> None:
    site = {"name": "Barn", "drives": {"d1": {}}}
    case = opened(desk, site=site, symptoms=[{"id": "drive-dead", "part": "d1"}], at=AT)["case"]

    assert desk.get(f"/v1/cases/{case['id']}").json()["description"] == site
    assert opened(desk, symptoms=[{"id": "drive-dead"}])["case"]["site"] is None


def test_a_case_in_another_language_is_answered_in_it(desk: TestClient) -> None:
    english, german = opened(desk), opened(desk, **DEAD, language="de")

    assert german["diagnosis"]["language"] == "de"
    assert german["diagnosis"]["next"][0]["question"] != english["diagnosis"]["next"][0]["question"]


def test_the_end_of_a_hold_off_is_told_on_the_sites_clock_and_in_utc(desk: TestClient) -> None:
    request = {"site": "small", "symptoms": [{"id": "automatic-ignored"}], "events": [{"at": "10:05"}]}
    resumes = opened(desk, **request, at="2026-05-04T10:17")["case"]["resumes"]

    assert resumes["at"] == "2026-05-04T10:35:00"
    assert resumes["at_utc"].endswith("Z")
    assert resumes["seconds_left"] == 0


def test_a_command_told_in_a_correction_is_put_on_the_sites_clock(desk: TestClient) -> None:
    seen = [{"id": "automatic-ignored", "part": "za"}]
    case_id = opened(desk, site="small", symptoms=seen, at="2026-05-04T10:17")["case"]["id"]
    told = {"kind": "understood", "symptoms": seen, "events": [{"at": "12 min ago"}, {"at": "09:58"}]}
    case = added(desk, case_id, told)["case"]

    assert [it["at"] for it in case["commands"]] == ["2026-05-04T10:05", "2026-05-04T09:58"]
    assert (case["at"], case["resumes"]["at"]) == ("2026-05-04T10:17", "2026-05-04T10:35:00")


def test_a_command_given_while_the_case_goes_on_moves_the_time_asked_about(desk: TestClient) -> None:
    """Twenty minutes after it was opened, somebody pressed the switch two minutes ago."""
    seen = [{"id": "automatic-ignored", "part": "za"}]
    case = opened(desk, site="small", symptoms=seen, at="2026-05-04T10:17")["case"]
    then = datetime.fromisoformat(case["opened_at"]) + timedelta(minutes=20)
    said = {"kind": "text", "text": "somebody pressed the switch 2 min ago", "noted_at": then.isoformat()}
    after = added(desk, case["id"], said)["case"]

    assert [it["at"] for it in after["commands"]] == ["2026-05-04T10:35"]
    assert (after["at"], after["resumes"]["at"]) == ("2026-05-04T10:37", "2026-05-04T11:05:00")


def test_lists_go_on_where_they_ended_newest_first(desk: TestClient) -> None:
    mine = [opened(desk, **DEAD)["case"]["id"] for _ in range(5)]
    found: list[str] = []
    address: str | None = "/v1/cases?limit=2&status=open&site=small"
    while address:
        page = desk.get(address).json()
        found += [it["id"] for it in page["cases"]]
        address = page["next"]

    assert found[:5] == mine[::-1]
    assert len(found) == len(set(found))
    assert kind_of(desk.get("/v1/cases?cursor=elsewhere")) == "bad-request"


def test_cases_are_found_by_the_beginnings_of_all_words_whatever_their_accents(desk: TestClient) -> None:
    case_id = opened(desk, site="small", text="Dachfenster schließt nicht, Café-Seite", at=AT)["case"]["id"]
    added(desk, case_id, {"kind": "note", "text": 'Schlüssel beim Pförtner; o\'brien -- "wicket" 22.8 V'})

    for words in ("dachf cafe", "SCHLIESST", "pfortner", "schlussel 22", "o'brien", '"wicket" --'):
        assert [it["id"] for it in desk.get("/v1/cases", params={"q": words}).json()["cases"]] == [case_id], words
    for words in ("dachf tür", "AND", "*", "' OR 1=1", "\x00"):
        assert desk.get("/v1/cases", params={"q": words}).json()["cases"] == [], words


def test_cases_that_share_symptoms_and_answers_are_similar(desk: TestClient) -> None:
    site = {"name": "Mill", "drives": {"d1": {}}}
    reverse = {"site": site, "symptoms": [{"id": "runs-reversed", "part": "d1"}], "told": ["when-cold"], "at": AT}
    answer = {"kind": "answer", "check": "volts-drive", "part": "d1", "outcome": "none"}
    first = opened(desk, **reverse)["case"]["id"]
    added(desk, first, answer, {"kind": "cause-confirmed", "cause": "core-open"})
    opened(desk, **{**reverse, "told": []})
    mine = opened(desk, **reverse)["case"]["id"]
    added(desk, mine, answer)
    found = desk.get(f"/v1/cases/{mine}/similar").json()["cases"]

    assert found[0]["case"]["id"] == first
    assert found[0]["likeness"] == 1
    assert found[0]["case"]["confirmed_cause"] == "core-open"
    assert found[1]["likeness"] < 1


def test_a_picture_is_kept_with_the_case_and_comes_back_as_it_was(desk: TestClient) -> None:
    case_id = opened(desk)["case"]["id"]
    address = f"/v1/cases/{case_id}/attachments"
    sent = desk.post(address, params={"name": "panel.png"}, content=PNG, headers={"content-type": "image/png"})
    file = sent.json()["case"]["attachments"][0]
    back = desk.get(f"{address}/{file['id']}")

    assert (sent.status_code, file["name"], file["size_bytes"]) == (201, "panel.png", len(PNG))
    assert (back.content, back.headers["content-type"]) == (PNG, "image/png")
    assert "sandbox" in back.headers["content-security-policy"]
    assert desk.get(f"{address}/{new_id()}").status_code == 404


@pytest.mark.parametrize(
    ("content", "kind", "status"),
    [
        (b"<svg onload=alert(1)>", "image/svg+xml", 415),
        (b"<script>alert(1)</script>", "image/png", 415),
        (b"", "image/png", 415),
        (b"a\x00b", "text/plain", 415),
        (b"\x89PNG\r\n\x1a\n" + bytes(8_000_000), "image/png", 413),
    ],
)
def test_a_file_of_another_kind_or_size_is_refused(desk: TestClient, content: bytes, kind: str, status: int) -> None:
    case_id = opened(desk)["case"]["id"]
    sent = desk.post(f"/v1/cases/{case_id}/attachments", content=content, headers={"content-type": kind})

    assert sent.status_code == status
    assert desk.get(f"/v1/cases/{case_id}").json()["attachments"] == []


def test_a_case_holds_so_many_files_and_no_more(desk: TestClient) -> None:
    case_id = opened(desk)["case"]["id"]
    statuses = [
        desk.post(f"/v1/cases/{case_id}/attachments", content=PNG, headers={"content-type": "image/png"}).status_code
        for _ in range(MOST_FILES + 1)
    ]

    assert statuses == [201] * MOST_FILES + [409]


def test_a_case_nobody_opened_is_not_found(desk: TestClient) -> None:
    for path in ("", "/events", "/diagnosis", "/similar", "/escalation", "/stream"):
        assert kind_of(desk.get(f"/v1/cases/{new_id()}{path}")) == "unknown-case"
    assert desk.get("/v1/cases/nonsense").status_code == 422


@pytest.mark.parametrize("name", CASE_EXAMPLES)
def test_every_example_of_a_case_is_accepted(desk: TestClient, name: str) -> None:
    opened(desk, **CASE_EXAMPLES[name]["value"])


@pytest.mark.parametrize("name", EVENTS_EXAMPLES)
def test_every_example_of_events_is_accepted(desk: TestClient, name: str) -> None:
    added(desk, opened(desk)["case"]["id"], *EVENTS_EXAMPLES[name]["value"]["events"])


def test_control_characters_and_markup_do_no_harm_on_either_database(desk: TestClient) -> None:
    for text in (
        "\x00window wont close\x07",
        "<script>alert(1)</script>",
        "'; drop table cases; --",
        "\u202eabc",
        "\U0001d7ce\U0001d7cf",
    ):
        case_id = opened(desk, site="small", text=text, at=AT)["case"]["id"]
        added(desk, case_id, {"kind": "note", "text": text})

        assert desk.get(f"/v1/cases/{case_id}").json()["texts"][0]["text"] == text


def test_a_case_changed_by_another_node_is_read_as_it_is_now(desk: TestClient) -> None:
    case_id = opened(desk)["case"]["id"]
    place: Any = desk.app.state.service.store.database  # type: ignore[attr-defined]
    with TestClient(create_app(Settings(place.path or place.address))) as other:
        added(other, case_id, {"kind": "note", "text": "from there"})
        mine = added(desk, case_id, {"kind": "note", "text": "from here"})["case"]
        theirs = other.get(f"/v1/cases/{case_id}").json()

    assert [it["text"] for it in mine["notes"]] == ["from there", "from here"]
    assert theirs["version"] == mine["version"] == 3


def test_an_answer_somebody_only_thinks_they_gave_right_weighs_less_and_says_so(desk: TestClient) -> None:
    sure = added(desk, opened(desk)["case"]["id"], ANSWER)
    soft = added(desk, opened(desk)["case"]["id"], {**ANSWER, "certainty": "think-so"})
    plain = desk.post(
        "/v1/diagnoses",
        json={
            **DEAD,
            "findings": [{**{it: ANSWER[it] for it in ("check", "part", "outcome")}, "certainty": "think-so"}],
        },
    ).json()

    assert soft["diagnosis"] == plain
    assert soft["diagnosis"]["causes"][0]["probability"] < sure["diagnosis"]["causes"][0]["probability"]
    assert [it["case"]["answers"][0]["certainty"] for it in (sure, soft)] == ["sure", "think-so"]


def test_the_plan_of_a_case_is_that_of_a_diagnosis_and_follows_its_answers(desk: TestClient) -> None:
    case_id = opened(desk)["case"]["id"]
    before = desk.get(f"/v1/cases/{case_id}/plan")
    added(desk, case_id, ANSWER)
    after = desk.get(f"/v1/cases/{case_id}/plan")
    plain = desk.post("/v1/diagnoses", json={**DEAD, "plan": True}).json()

    assert before.json() == {"version": 1, "plan": plain["plan"]}
    assert (before.headers["etag"], after.headers["etag"]) == ('"1"', '"2"')
    assert before.json()["plan"]["step"] != after.json()["plan"]["step"]


def test_a_case_without_a_symptom_has_no_plan(desk: TestClient) -> None:
    case_id = opened(desk, site="small", text="hello there")["case"]["id"]

    assert desk.get(f"/v1/cases/{case_id}/plan").json()["plan"] is None


def test_a_closed_case_has_no_plan(desk: TestClient) -> None:
    case_id = opened(desk)["case"]["id"]
    added(desk, case_id, {"kind": "closed", "outcome": "called-off"})

    assert desk.get(f"/v1/cases/{case_id}/plan").json() == {"version": 2, "plan": None}


def test_while_only_a_lay_person_is_there_only_their_checks_are_offered_and_planned(desk: TestClient) -> None:
    first = opened(desk)
    case_id = first["case"]["id"]
    remote = added(desk, case_id, {"kind": "remote-mode", "on": True})
    step = desk.get(f"/v1/cases/{case_id}/plan").json()["plan"]["step"]
    back = added(desk, case_id, {"kind": "remote-mode", "on": False})

    assert {it["competence"] for it in remote["diagnosis"]["next"]} == {"ordinary"}
    assert step["check"]["competence"] == "ordinary"
    assert remote["diagnosis"]["causes"] == first["diagnosis"]["causes"]
    assert back["diagnosis"] == first["diagnosis"]


def test_who_is_there_and_what_they_lack_decides_what_is_offered_and_planned(desk: TestClient) -> None:
    first = opened(desk)
    case_id = first["case"]["id"]
    tool = next(it["tools"][0] for it in first["diagnosis"]["next"] if it["tools"])
    crew = {"competences": ["ordinary", "instructed"], "without": [tool], "alone": True, "dark": True}
    after = added(desk, case_id, {"kind": "crew", **crew})
    plain = desk.post("/v1/diagnoses", json={**DEAD, "crew": crew, "plan": True}).json()

    offered = after["diagnosis"]["next"]
    assert after["case"]["crew"] == crew
    assert offered
    assert not any(tool in it["tools"] or it["competence"] == "skilled" for it in offered)
    assert offered == plain["next"]
    assert desk.get(f"/v1/cases/{case_id}/plan").json()["plan"] == plain["plan"]
    assert added(desk, case_id, {"kind": "crew"})["diagnosis"] == first["diagnosis"]


def test_a_crew_of_nobody_that_is_known_is_refused(desk: TestClient) -> None:
    case_id = opened(desk)["case"]["id"]

    assert add(desk, case_id, {"kind": "crew", "competences": ["wizard"]}).status_code == 422
