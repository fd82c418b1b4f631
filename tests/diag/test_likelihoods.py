"""How far the outcomes of checks are trusted."""

from __future__ import annotations

import pytest

from diag.likelihoods import decisive_outcomes, outcome_tables
from knowledge.load import Knowledge


def test_a_decisive_check_confirms_its_cause_by_the_likeliest_outcome(knowledge: Knowledge) -> None:
    assert decisive_outcomes(knowledge)["output-fuse-blown"]["ohms-fuse-output"] == ("open",)


def test_outcomes_that_are_alike_likely_confirm_alike(knowledge: Knowledge) -> None:
    assert set(decisive_outcomes(knowledge)["sensor-failed"]["signal-sensor"]) == {"out-of-range", "frozen"}


def test_the_chances_of_every_row_sum_to_one(knowledge: Knowledge) -> None:
    assert outcome_tables(knowledge).rows.sum(axis=1) == pytest.approx(1.0)


def test_what_confirms_a_cause_is_seldom_seen_by_mistake_or_under_something_else(knowledge: Knowledge) -> None:
    tables = outcome_tables(knowledge)
    outcomes = [it.id for it in knowledge.checks["ohms-fuse-output"].outcomes]
    broken = outcomes.index("open")
    others = [place for place in range(len(outcomes)) if place != broken]
    unknown = tables.shares(tables.unknown_cause["ohms-fuse-output"])

    assert all(tables.mistaken["ohms-fuse-output"][broken] < tables.mistaken["ohms-fuse-output"][it] for it in others)
    assert unknown[broken] < 0.06


def test_an_outcome_that_confirms_speaks_more_strongly_than_one_that_does_not(knowledge: Knowledge) -> None:
    tables = outcome_tables(knowledge)
    for cause, checks in decisive_outcomes(knowledge).items():
        rows = dict(tables.by_cause[cause])
        for check, outcomes in checks.items():
            place = [it.id for it in knowledge.checks[check].outcomes].index(outcomes[0])
            under, healthy = (tables.shares(row)[place] for row in (rows[check], tables.healthy[check]))

            assert under > healthy, f"{cause}: {check}"
