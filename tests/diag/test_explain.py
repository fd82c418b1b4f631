"""Why, and why not."""

from __future__ import annotations

from diag.explain import why_not
from diag.reasoner import PreparedSite, Reasoner
from tests.builders import diagnosis_of, reasoning_of


def test_a_reason_names_the_rule_its_words_and_the_facts_it_stands_on(reasoner: Reasoner, small: PreparedSite) -> None:
    cause = next(it for it in diagnosis_of(reasoner, small, "drive-dead@d1").causes if it.cause == "core-open")
    reason = cause.why[0]

    assert reason.source == "core-open/own-cable"
    assert reason.says.startswith("Lead of the left window (k2) is the cable that feeds drive of the left window (d1)")
    assert reason.facts == (
        "Noticed at drive of the left window (d1): One drive does not move",
        "lead of the left window (k2) and drive of the left window (d1): shared no",
    )


def test_a_finding_that_speaks_for_a_cause_is_among_its_reasons(reasoner: Reasoner, small: PreparedSite) -> None:
    causes = diagnosis_of(reasoner, small, "drive-dead@d1", findings=["volts-drive@d1=none"]).causes
    effects = {reason.effect for it in causes if it.cause == "core-open" for reason in it.why}

    assert "supported" in effects


def test_a_cause_that_was_ruled_out_says_by_what(reasoner: Reasoner, small: PreparedSite) -> None:
    reasoning = reasoning_of(reasoner, small, "automatic-ignored@za", events=["11:00=manual"])
    reasons = why_not(reasoner, reasoning, "hold-off-active")

    assert [it.effect for it in reasons] == ["ruled out"]


def test_a_cause_no_rule_connects_with_the_symptom_says_so(reasoner: Reasoner, small: PreparedSite) -> None:
    reasons = why_not(reasoner, reasoning_of(reasoner, small, "panel-dark"), "rain-sensor-dirty")

    assert reasons[0].says.startswith("No rule connects it with")


def test_every_cause_of_the_catalogue_is_either_suspected_or_explained_away(
    reasoner: Reasoner, small: PreparedSite
) -> None:
    for symptom in reasoner.knowledge.symptoms:
        reasoning = reasoning_of(reasoner, small, symptom)
        suspected = {it.cause for it in reasoning.hypotheses.open}
        for cause in reasoner.knowledge.causes:
            assert (cause in suspected) != bool(why_not(reasoner, reasoning, cause))
