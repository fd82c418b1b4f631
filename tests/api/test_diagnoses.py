"""Diagnoses over HTTP."""

from __future__ import annotations

from typing import Any

import pytest
from fastapi.testclient import TestClient

from api.examples import DIAGNOSIS_EXAMPLES

AT = "2026-05-04T12:00"


def diagnose(client: TestClient, **request: Any) -> dict[str, Any]:
    """Return the answer to a request that is accepted."""
    response = client.post("/v1/diagnoses", json={"at": AT, **request})
    assert response.status_code == 200, response.text
    answer: dict[str, Any] = response.json()
    return answer


def test_typed_text_becomes_ranked_causes_with_reasons_and_a_next_check(client: TestClient) -> None:
    answer = diagnose(client, site="small", text="actuator runs wrong way")

    assert answer["symptoms"][0]["id"] == "runs-reversed"
    assert answer["causes"][0]["id"] == "polarity-swapped"
    assert answer["causes"][0]["why"][0]["says"]
    assert {"check", "part", "minutes", "expect", "cautions", "outcomes"} <= answer["next"][0].keys()
    assert answer["knowledge_version"]


def test_an_answer_changes_the_ranking(client: TestClient) -> None:
    before = diagnose(client, site="small", symptoms=[{"id": "drive-dead", "part": "d1"}])
    finding = {"check": "volts-drive", "part": "d1", "outcome": "0,2 V"}
    after = diagnose(client, site="small", symptoms=[{"id": "drive-dead", "part": "d1"}], findings=[finding])

    assert before["causes"] != after["causes"]


def test_twelve_minutes_after_a_manual_command_the_hold_off_is_named_with_its_end(client: TestClient) -> None:
    answer = diagnose(client, site="small", text="automatic command ignored", events=[{"at": "12 min ago"}])

    assert answer["causes"][0]["id"] == "hold-off-active"
    assert answer["resumes_at"] == "2026-05-04T12:18:00"


def test_a_command_said_in_the_text_counts(client: TestClient) -> None:
    text = "automatic command ignored, opened by hand at 11:48"
    answer = diagnose(client, site="small", text=text)

    assert answer["causes"][0]["id"] == "hold-off-active"


def test_text_of_another_kind_is_declined_kindly_and_claims_nothing(client: TestClient) -> None:
    answer = diagnose(client, site="small", text="what is a good recipe for soup")

    assert answer["symptoms"] == []
    assert answer["causes"] == []
    assert answer["unrecognised"]
    assert answer["say_instead"]


def test_a_site_may_be_described_inline_or_not_at_all(client: TestClient) -> None:
    description = client.get("/v1/sites/small").json()["description"]
    inline = diagnose(client, site=description, symptoms=[{"id": "drive-dead", "part": "d1"}])
    stored = diagnose(client, site="small", symptoms=[{"id": "drive-dead", "part": "d1"}])

    assert inline["causes"] == stored["causes"]
    assert diagnose(client, symptoms=[{"id": "drive-dead"}])["causes"]


def test_the_same_request_gives_the_same_bytes(client: TestClient) -> None:
    request = {"site": "medium", "symptoms": [{"id": "zone-dead", "part": "za"}], "at": AT}
    answers = {client.post("/v1/diagnoses", json=request).content for _ in range(3)}

    assert len(answers) == 1


@pytest.mark.parametrize(("language", "name"), [("de", "Etwas anderes"), ("da", "Noget andet")])
def test_an_answer_in_another_language_says_what_stays_english(client: TestClient, language: str, name: str) -> None:
    english = diagnose(client, site="small", symptoms=[{"id": "drive-dead", "part": "d1"}])
    other = diagnose(client, site="small", symptoms=[{"id": "drive-dead", "part": "d1"}], language=language)

    assert [it["id"] for it in other["causes"]] == [it["id"] for it in english["causes"]]
    assert name in {it["name"] for it in other["causes"]}
    assert other["next"][0]["question"] != english["next"][0]["question"]
    assert (other["language"], english["in_english"]) == (language, [])
    assert "how" in other["in_english"]


def test_why_not_explains_a_cause_away(client: TestClient) -> None:
    symptoms = [{"id": "panel-dark"}]
    answer = diagnose(client, site="small", symptoms=symptoms, why_not=["rain-sensor-dirty", "mains-absent"])
    rain, mains = answer["why_not"]

    assert rain["why"]
    assert rain["probability"] == 0
    assert mains["why"] == []
    assert mains["probability"] > 0


@pytest.mark.parametrize("name", DIAGNOSIS_EXAMPLES)
def test_every_example_of_the_document_is_answered(client: TestClient, name: str) -> None:
    assert client.post("/v1/diagnoses", json=DIAGNOSIS_EXAMPLES[name]["value"]).json()["causes"]


@pytest.mark.parametrize(
    ("request_", "kind", "field"),
    [
        ({"symptoms": [{"id": "drive-ded"}]}, "unknown-symptom", "symptoms"),
        ({"symptoms": [{"id": "drive-dead", "part": "d77"}]}, "unknown-part", "part"),
        ({"findings": [{"check": "volt-drive", "outcome": "none"}]}, "unknown-check", "findings"),
        ({"findings": [{"check": "volts-drive", "outcome": "purple"}]}, "unknown-outcome", "findings"),
        ({"findings": [{"check": "volts-drive", "outcome": "4000 V"}]}, "bad-reading", "findings"),
        ({"findings": [{"check": "volts-drive", "part": "d77", "outcome": "none"}]}, "unknown-part", "part"),
        ({"at": "soon"}, "bad-time", "at"),
        ({"events": [{"at": "later"}]}, "bad-time", "at"),
        ({"site": {"name": "x", "drives": {"d1": {"output": "o9"}}}}, "bad-site", "site.drives.d1.output"),
        ({"symptom": []}, "bad-request", "body.symptom"),
        ({"why_not": ["nothing-known"]}, "unknown-cause", "cause_id"),
    ],
)
def test_a_refusal_names_its_kind_and_the_field(
    client: TestClient, request_: dict[str, Any], kind: str, field: str
) -> None:
    request = {"site": "small", "symptoms": [{"id": "drive-dead", "part": "d1"}], "at": AT, **request_}
    response = client.post("/v1/diagnoses", json=request)

    assert response.headers["content-type"] == "application/problem+json"
    assert response.json()["type"] == f"urn:ventsleuth:problem:{kind}"
    assert response.json()["errors"][0]["field"] == field
    assert response.status_code in (404, 422)


def test_a_site_nobody_stored_is_not_found_and_the_nearest_is_named(client: TestClient) -> None:
    response = client.post("/v1/diagnoses", json={"site": "smal", "symptoms": [{"id": "drive-dead"}]})

    assert response.status_code == 404
    assert response.json()["errors"][0]["nearest"][0] == "small"


def test_typed_text_is_kept_even_when_it_is_not_understood(client: TestClient) -> None:
    diagnose(client, site="small", text="the flurble has gone sideways")
    store = client.app.state.service.store  # type: ignore[attr-defined]

    assert "the flurble has gone sideways" in store.heard()


def test_ten_thousand_characters_control_characters_and_markup_do_no_harm(client: TestClient) -> None:
    for text in ("x" * 10_000, "<script>alert(1)</script> window wont close", "\u202ewindow wont close\u0000", "'; --"):
        assert client.post("/v1/diagnoses", json={"site": "small", "text": text}).status_code == 200


D1 = [{"id": "drive-dead", "part": "d1"}]
TWO_DEAD = [*D1, {"id": "drive-dead", "part": "d2"}]
FUSE_OPEN_LINE_SOUND = [
    {"check": "ohms-fuse-output", "part": "out1", "outcome": "open"},
    {"check": "ohms-line", "part": "out1", "outcome": "normal"},
    {"check": "try-neighbours", "part": "d1", "outcome": "neighbours-still"},
]


def test_an_answer_has_a_plan_only_where_one_is_asked_for(client: TestClient) -> None:
    plain = diagnose(client, site="small", symptoms=D1)
    planned = diagnose(client, site="small", symptoms=D1, plan=True)

    assert "plan" not in plain
    assert {**plain, "plan": planned["plan"]} == planned
    step = planned["plan"]["step"]
    assert (step["kind"], step["check"]["check"], step["repair"]) == ("check", step["id"], None)
    assert step["name"] in step["says"]
    assert planned["plan"]["otherwise"]


def test_a_repair_as_the_best_step_comes_with_its_steps_and_cautions(client: TestClient) -> None:
    step = diagnose(client, site="small", symptoms=TWO_DEAD, findings=FUSE_OPEN_LINE_SOUND, plan=True)["plan"]["step"]

    assert (step["kind"], step["id"], step["part"]) == ("repair", "output-fuse-blown", "out1")
    assert step["repair"]["steps"]
    assert "electric-shock" in {it["id"] for it in step["repair"]["cautions"]}


def test_an_answer_that_fits_no_other_is_worth_a_second_look(client: TestClient) -> None:
    odd = {"check": "look-output-lamp", "part": "out1", "outcome": "on-unasked"}
    findings = [*FUSE_OPEN_LINE_SOUND, odd]
    plan = diagnose(client, site="small", symptoms=TWO_DEAD, findings=findings, plan=True)["plan"]

    assert plan["doubtful"][0] | odd == plan["doubtful"][0]
    assert "Look again" in plan["doubtful"][0]["says"]


def test_two_unlike_complaints_bring_up_two_faults(client: TestClient) -> None:
    symptoms = [{"id": "runs-reversed", "part": "d1"}, {"id": "wrong-time", "part": "zs"}]
    pair = diagnose(client, site="medium", symptoms=symptoms, plan=True)["plan"]["pairs"][0]

    assert len(pair["causes"]) == 2
    assert 0 < pair["probability"] < 1
    assert all(it["name"] in pair["says"] for it in pair["causes"])


def test_a_text_that_means_no_symptom_has_no_plan(client: TestClient) -> None:
    assert diagnose(client, site="small", text="what is a good recipe for soup", plan=True)["plan"] is None


def test_a_lay_person_is_offered_only_ordinary_checks(client: TestClient) -> None:
    there = diagnose(client, site="small", symptoms=D1)
    remote = diagnose(client, site="small", symptoms=D1, remote=True, plan=True)

    assert {it["competence"] for it in there["next"]} != {"ordinary"}
    assert {it["competence"] for it in remote["next"]} == {"ordinary"}
    assert remote["plan"]["step"]["check"]["competence"] == "ordinary"


def test_an_answer_somebody_only_thinks_counts_less(client: TestClient) -> None:
    def fuse(**more: str) -> float:
        findings = [{**FUSE_OPEN_LINE_SOUND[0], **more}]
        causes = diagnose(client, site="small", symptoms=TWO_DEAD, findings=findings)["causes"]
        return next(float(it["probability"]) for it in causes if it["id"] == "output-fuse-blown")

    assert fuse(certainty="think-so") < fuse(certainty="sure") == fuse()


def test_the_sentences_of_a_plan_stay_english_and_the_rest_is_translated(client: TestClient) -> None:
    english, german = (
        diagnose(client, site="small", symptoms=D1, plan=True, language=it, findings=FUSE_OPEN_LINE_SOUND)
        for it in ("en", "de")
    )
    causes = {it["id"]: it["name"] for it in german["causes"]}
    steps = [it["plan"]["step"] for it in (english, german)]

    assert "says" in german["in_english"]
    assert "says" not in english["in_english"]
    assert steps[0]["kind"] == "repair"
    assert steps[1]["name"] == steps[1]["repair"]["name"] == causes[steps[1]["id"]] != steps[0]["name"]
    assert steps[1]["says"] == steps[0]["says"]
    assert [it["name"] for it in steps[0]["repair"]["cautions"]] != [
        it["name"] for it in steps[1]["repair"]["cautions"]
    ]
