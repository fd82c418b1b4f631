"""Whole diagnoses on the demo sites.

What a technician would see on each fault is common practice, no source, unless a test says otherwise.
"""

from __future__ import annotations

import re
from datetime import datetime

import pytest

from diag.diagnose import ESCALATE, answer
from diag.errors import UnknownCheck, UnknownOutcome, UnknownPart, UnknownSymptom
from diag.observations import Finding
from diag.reasoner import PreparedSite, Reasoner, prepare_site
from diag.site import Site
from tests.builders import causes_of, diagnosis_of, reasoning_of

FUSE_OPEN_LINE_SOUND = ["ohms-fuse-output@out1=open", "ohms-line@out1=normal", "try-neighbours@d1=neighbours-still"]


@pytest.mark.parametrize("zone", ["za", "zb", None])
def test_twelve_minutes_after_a_manual_command_the_hold_off_leads(
    reasoner: Reasoner, small: PreparedSite, zone: str | None
) -> None:
    symptom = f"automatic-ignored@{zone}" if zone else "automatic-ignored"
    diagnosis = diagnosis_of(reasoner, small, symptom, events=["11:48=manual"])

    assert diagnosis.causes[0].cause == "hold-off-active"
    assert diagnosis.resumes_at == datetime(2026, 5, 4, 12, 18)


def test_thirty_one_minutes_after_a_manual_command_the_hold_off_is_ruled_out(
    reasoner: Reasoner, small: PreparedSite
) -> None:
    diagnosis = diagnosis_of(reasoner, small, "automatic-ignored@za", events=["11:29=manual"])

    assert "hold-off-active" not in causes_of(diagnosis)
    assert diagnosis.resumes_at is None


def test_the_hold_off_leads_on_the_medium_site_even_while_the_winter_lockout_stands(
    reasoner: Reasoner, medium: PreparedSite
) -> None:
    winter = datetime(2026, 11, 25, 12, 0)
    diagnosis = diagnosis_of(reasoner, medium, "automatic-ignored@zn", events=["11:48=manual@sw-n"], at=winter)

    assert diagnosis.causes[0].cause == "hold-off-active"


def test_a_drive_with_voltage_and_no_current_is_itself_at_fault(reasoner: Reasoner, small: PreparedSite) -> None:
    diagnosis = diagnosis_of(
        reasoner, small, "drive-dead@d1", findings=["volts-drive@d1=23.4 V", "current-drive@d1=0 A"]
    )

    assert diagnosis.causes[0].cause in ("drive-motor-failed", "drive-electronics-failed")
    assert diagnosis.causes[0].part == "d1"


def test_voltage_that_leaves_the_output_and_is_gone_at_the_drive_points_to_its_cable(
    reasoner: Reasoner, small: PreparedSite
) -> None:
    diagnosis = diagnosis_of(
        reasoner,
        small,
        "drive-dead@d1",
        told=["others-fine"],
        findings=["volts-output@out1=normal", "volts-drive@d1=none"],
    )

    assert diagnosis.causes[0].cause in ("core-open", "loose-terminal")
    assert diagnosis.causes[0].part in ("k2", "d1")


def test_a_trunk_is_not_blamed_while_the_neighbours_move(reasoner: Reasoner, small: PreparedSite) -> None:
    reasoning = reasoning_of(reasoner, small, "drive-dead@d1", told=["others-fine"])

    assert ("core-open", "k1") not in {(it.cause, it.part) for it in reasoning.hypotheses.open}
    assert ("core-open", "k2") in {(it.cause, it.part) for it in reasoning.hypotheses.open}


def test_a_whole_dead_output_is_not_blamed_on_one_drive(reasoner: Reasoner, small: PreparedSite) -> None:
    diagnosis = diagnosis_of(reasoner, small, "drive-dead@d1", "drive-dead@d2", findings=FUSE_OPEN_LINE_SOUND)

    assert (diagnosis.causes[0].cause, diagnosis.causes[0].part) == ("output-fuse-blown", "out1")


def test_probabilities_sum_to_one_and_fall(reasoner: Reasoner, small: PreparedSite) -> None:
    for symptom in reasoner.knowledge.symptoms:
        chances = [it.probability for it in diagnosis_of(reasoner, small, symptom).causes]

        assert sum(chances) <= 1 + 1e-9
        assert chances[:8] == sorted(chances[:8], reverse=True)


def test_works_as_designed_and_something_else_are_always_in_the_ranking(
    reasoner: Reasoner, small: PreparedSite
) -> None:
    for symptom in reasoner.knowledge.symptoms:
        assert {"as-designed", "something-else"} <= set(causes_of(diagnosis_of(reasoner, small, symptom)))


def test_every_cause_says_why(reasoner: Reasoner, medium: PreparedSite) -> None:
    for symptom in reasoner.knowledge.symptoms:
        for cause in diagnosis_of(reasoner, medium, symptom).causes:
            assert cause.why or cause.cause == "as-designed"
            assert not re.search(r"\$[a-z]", " ".join(reason.says for reason in cause.why))


def test_something_else_leads_and_asks_to_escalate_when_findings_fit_nothing(
    reasoner: Reasoner, small: PreparedSite
) -> None:
    reasoning = reasoning_of(reasoner, small, "panel-dark")
    findings: list[Finding] = []
    for _ in range(12):
        diagnosis = answer(reasoner, reasoning, findings)
        if not diagnosis.next or diagnosis.causes[0].cause == "something-else":
            break
        check = diagnosis.next[0]
        healthy = max(
            reasoner.knowledge.checks[check.check].outcomes,
            key=lambda it: reasoner.knowledge.words.likelihood[it.healthy],
        )
        findings.append(Finding(check.check, healthy.id, check.part))

    assert "something-else" in causes_of(diagnosis)[:2]
    leads = diagnosis.causes[0].cause == "something-else"
    assert leads == any(it.rule == "something-else" for it in diagnosis.advice)


@pytest.mark.parametrize(
    ("symptom", "finding", "cause"),
    [
        ("drive-dead@d1", "ohms-fuse-output@out1=open", "output-fuse-blown"),
        ("zone-dead@zb", "look-guard-contact@rv1=cover-not-home", "guard-contact-open"),
    ],
)
def test_a_cause_whose_defect_was_seen_leads_and_nobody_is_told_to_escalate(
    reasoner: Reasoner, small: PreparedSite, symptom: str, finding: str, cause: str
) -> None:
    diagnosis = diagnosis_of(reasoner, small, symptom, findings=[finding])

    assert diagnosis.causes[0].cause == cause
    assert all(it.rule != "something-else" for it in diagnosis.advice)


def test_nobody_is_told_that_nothing_fits_where_an_answer_confirms_a_cause_that_is_shown(
    reasoner: Reasoner, small: PreparedSite
) -> None:
    diagnosis = diagnosis_of(reasoner, small, "drive-dead", findings=["look-cable-size=too-thin"])

    assert diagnosis.causes[0].cause == "something-else"
    assert "cable-undersized" in causes_of(diagnosis)
    assert diagnosis.advice == ()


def test_an_answer_that_confirms_a_cause_too_far_down_to_be_shown_does_not_hide_that_nothing_fits(
    reasoner: Reasoner, small: PreparedSite
) -> None:
    diagnosis = diagnosis_of(reasoner, small, "drive-dead", findings=["current-supply-total@c1=over-rating"])

    assert diagnosis.causes[0].cause == "something-else"
    assert "power-unit-overloaded" not in causes_of(diagnosis)
    assert [it.says for it in diagnosis.advice] == [ESCALATE]


def test_answering_again_does_not_run_the_rules_again(reasoner: Reasoner, small: PreparedSite) -> None:
    findings = (Finding("volts-drive", "none", "d1"),)
    opened = reasoning_of(reasoner, small, "drive-dead@d1")
    at_once = diagnosis_of(reasoner, small, "drive-dead@d1", findings=["volts-drive@d1=none"])

    assert answer(reasoner, opened, findings).causes == at_once.causes


def test_a_check_answered_or_impossible_is_not_asked_again(reasoner: Reasoner, small: PreparedSite) -> None:
    first = diagnosis_of(reasoner, small, "drive-dead@d1").next[0]
    at = f"@{first.part}" if first.part else ""
    after = diagnosis_of(reasoner, small, "drive-dead@d1", findings=[f"{first.check}{at}=cannot"])

    assert (first.check, first.part) not in {(it.check, it.part) for it in after.next}


def test_not_sure_changes_no_probability(reasoner: Reasoner, small: PreparedSite) -> None:
    before = diagnosis_of(reasoner, small, "drive-dead@d1")
    after = diagnosis_of(reasoner, small, "drive-dead@d1", findings=["volts-drive@d1=not-sure"])

    assert [it.probability for it in after.causes] == [it.probability for it in before.causes]


def test_a_repair_that_did_not_help_lets_the_next_cause_lead(reasoner: Reasoner, small: PreparedSite) -> None:
    findings = FUSE_OPEN_LINE_SOUND
    before = diagnosis_of(reasoner, small, "drive-dead@d1", "drive-dead@d2", findings=findings)
    tried = [(before.causes[0].cause, before.causes[0].part)]
    after = diagnosis_of(reasoner, small, "drive-dead@d1", "drive-dead@d2", findings=findings, repaired=tried)

    assert before.repair is not None
    assert after.causes[0].cause != "output-fuse-blown"


def test_a_likely_cause_comes_with_steps_and_proof_of_repair(reasoner: Reasoner, small: PreparedSite) -> None:
    repair = diagnosis_of(reasoner, small, "drive-dead@d1", "drive-dead@d2", findings=FUSE_OPEN_LINE_SOUND).repair

    assert repair is not None
    assert repair.steps
    assert repair.proof
    assert "electric-shock" in repair.cautions


def test_a_measuring_check_says_what_to_expect_at_this_drive(reasoner: Reasoner, small: PreparedSite) -> None:
    reasoning = reasoning_of(reasoner, small, "drive-dead@d1")
    checks = {(it.check, it.part): it for it in answer(reasoner, reasoning, []).next}
    answered: list[Finding] = []
    while ("volts-drive", "d1") not in checks and len(answered) < 12:
        first = next(iter(checks.values()))
        answered.append(Finding(first.check, "cannot", first.part))
        checks = {(it.check, it.part): it for it in answer(reasoner, reasoning, answered).next}

    assert checks[("volts-drive", "d1")].expect.startswith("About 23.6 V while it runs alone")


def test_a_site_without_description_still_gets_causes_and_a_check(reasoner: Reasoner) -> None:
    bare = prepare_site(Site(name="bare"))
    for symptom in reasoner.knowledge.symptoms:
        diagnosis = diagnosis_of(reasoner, bare, symptom, at=None)

        assert len(diagnosis.causes) > 3
        assert diagnosis.next
        assert all(it.part is None for it in diagnosis.causes)


def test_without_a_symptom_nothing_is_claimed(reasoner: Reasoner, small: PreparedSite) -> None:
    diagnosis = diagnosis_of(reasoner, small)

    assert (diagnosis.causes, diagnosis.next, diagnosis.repair) == ((), (), None)


@pytest.mark.parametrize(
    ("symptom", "finding", "error"),
    [
        ("drive-ded", None, UnknownSymptom),
        ("drive-dead@d99", None, UnknownPart),
        ("drive-dead@d1", "volt-drive=none", UnknownCheck),
        ("drive-dead@d1", "volts-drive=purple", UnknownOutcome),
        ("drive-dead@d1", "volts-drive@d99=none", UnknownPart),
    ],
)
def test_an_unknown_name_is_refused_with_the_nearest(
    reasoner: Reasoner, small: PreparedSite, symptom: str, finding: str | None, error: type[Exception]
) -> None:
    with pytest.raises(error):
        diagnosis_of(reasoner, small, symptom, findings=[finding] if finding else [])


def test_the_same_case_gives_the_same_answer_in_every_thread(reasoner: Reasoner, small: PreparedSite) -> None:
    from concurrent.futures import ThreadPoolExecutor

    wanted = diagnosis_of(reasoner, small, "zone-dead@za")
    with ThreadPoolExecutor(4) as pool:
        answers = list(pool.map(lambda _: diagnosis_of(reasoner, small, "zone-dead@za"), range(16)))

    assert all(it == wanted for it in answers)
