"""Pairs of causes where no single one explains what was noticed and found."""

from __future__ import annotations

from diag.pairs import plausible_pairs
from diag.reasoner import PreparedSite, Reasoner
from diag.weighing import weigh
from tests.builders import reasoning_of


def pairs_of(reasoner: Reasoner, site: PreparedSite, *symptoms: str) -> list[set[str]]:
    """Return the causes of each pair that is named before any finding."""
    reasoning = reasoning_of(reasoner, site, *symptoms)
    found = plausible_pairs(reasoner, reasoning, weigh(reasoner, reasoning, ()))
    hypotheses = reasoning.hypotheses.open
    return [{hypotheses[it.first].cause, hypotheses[it.second].cause} for it in found]


def test_one_symptom_that_single_causes_explain_brings_up_no_pair(reasoner: Reasoner, small: PreparedSite) -> None:
    assert pairs_of(reasoner, small, "drive-dead@d1") == []


def test_two_unlike_complaints_bring_up_pairs(reasoner: Reasoner, medium: PreparedSite) -> None:
    found = pairs_of(reasoner, medium, "runs-reversed@d1", "wrong-time@zs")

    assert found
    assert all(len(it) == 2 for it in found)
    assert "schedule-wrong" in found[0]


def test_the_shares_of_pairs_stay_below_one(reasoner: Reasoner, medium: PreparedSite) -> None:
    reasoning = reasoning_of(reasoner, medium, "runs-reversed@d1", "wrong-time@zs")
    found = plausible_pairs(reasoner, reasoning, weigh(reasoner, reasoning, ()))

    assert 0.0 < sum(it.probability for it in found) <= 1.0
    assert [it.probability for it in found] == sorted((it.probability for it in found), reverse=True)
