"""Conditions, cases and reasons in words, with parts named so that a reader can follow them."""

from __future__ import annotations

import pytest

from diag.reference.say_facts import names_in_case, say_conditions, say_given, say_reason
from knowledge.entries import RuleCase, RuleEntry
from knowledge.load import Knowledge


@pytest.fixture
def own_cable(knowledge: Knowledge) -> RuleEntry:
    """Return the rule that suspects a drive's own cable."""
    return next(it for it in knowledge.causes["core-open"].rules if it.id == "own-cable")


@pytest.fixture
def dead_drive(knowledge: Knowledge) -> RuleCase:
    """Return the case in which it fires."""
    return next(it for it in knowledge.causes["core-open"].cases if "own-cable" in it.fires)


def test_conditions_name_parts_by_kind_and_letter(knowledge: Knowledge, own_cable: RuleEntry) -> None:
    assert say_conditions(knowledge, own_cable) == [
        "Noticed: “One drive does not move”, at drive D.",
        "Cable C feeds drive D; shared: no or unknown.",
    ]


def test_the_facts_of_a_case_name_its_parts(knowledge: Knowledge, dead_drive: RuleCase) -> None:
    assert say_given(knowledge, dead_drive) == [
        "Noticed: “One drive does not move”, at drive d1.",
        "Drive d1; output: o1; neighbours: alive.",
        "Cable c1 feeds drive d1; shared: no.",
    ]


def test_a_reason_in_a_case_names_the_parts_of_the_case(
    knowledge: Knowledge, own_cable: RuleEntry, dead_drive: RuleCase
) -> None:
    names = names_in_case(knowledge, own_cable, dead_drive)

    assert names == {"$c": "cable c1", "$d": "drive d1"}
    assert say_reason(knowledge, own_cable, names).startswith("Cable c1 is the cable that feeds drive d1 alone")


def test_no_variable_is_left_in_any_reason(knowledge: Knowledge) -> None:
    rules = [rule for cause in knowledge.causes.values() for rule in cause.rules]
    rules += [rule for deduction in knowledge.deductions.values() for rule in deduction.rules]

    assert [rule.id for rule in rules if "$" in say_reason(knowledge, rule)] == []
    assert [rule.id for rule in rules if "$" in " ".join(say_conditions(knowledge, rule))] == []


def test_nearly_every_worked_example_binds_its_rules(knowledge: Knowledge) -> None:
    """A rule that builds on a deduction is not bound by the case alone; its parts keep their letters then."""
    fired = [
        (rule, case)
        for cause in knowledge.causes.values()
        for case in cause.cases
        for rule in cause.rules
        if rule.id in case.fires and rule.at
    ]
    bound = [pair for pair in fired if names_in_case(knowledge, *pair)]

    assert len(bound) >= 0.98 * len(fired)
