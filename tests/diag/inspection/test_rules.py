"""The inspection rules are sound: every case holds, and enough of the trade is covered."""

from __future__ import annotations

from collections import Counter

import pytest

from diag.inspection.cases import case_site, change, described, run_cases
from diag.inspection.facts import inspection_facts
from diag.inspection.lint import check_inspections
from diag.inspection.run import Inspector
from diag.inspection.view import View
from diag.site_file import site_from_data
from diag.topology import read_topology
from knowledge.inspection_entries import InspectionRule
from knowledge.load import Knowledge
from tests.diag.inspection.builders import demo_data

ASKED_FOR = {
    "output-overloaded", "supply-overloaded", "voltage-too-low", "smoke-line-unsupervised", "zone-without-input",
    "zone-moves-nothing", "input-without-zone", "input-does-nothing", "inputs-fight", "tap-without-stop",
    "roof-without-rain-closing", "hold-off-over-a-day", "mixed-drives", "expected-count-differs",
    "address-used-twice", "link-address-used-twice", "termination-missing", "battery-too-small",
    "run-time-too-short", "closing-edge-unprotected", "automatic-off-at-controller", "automatic-without-source",
}  # fmt: skip


def test_the_rules_have_no_fault_and_every_case_holds(inspector: Inspector, knowledge: Knowledge) -> None:
    assert check_inspections(inspector.inspections, knowledge) == []


def test_at_least_62_faults_are_known_and_those_asked_for_are_among_them(inspector: Inspector) -> None:
    rules = inspector.inspections.rules

    assert len(rules) >= 62
    assert set(rules) >= ASKED_FOR
    assert set(Counter(it.severity for it in rules.values())) == {"error", "warning", "note"}


def test_no_two_rules_have_the_same_title(inspector: Inspector) -> None:
    titles = Counter(it.title for it in inspector.inspections.rules.values())

    assert [title for title, count in titles.items() if count > 1] == []


def test_every_case_runs_and_both_finds_and_spares(inspector: Inspector) -> None:
    results = list(run_cases(inspector))

    assert len(results) == sum(len(it.cases) for it in inspector.inspections.rules.values())
    assert {it.rule for it in results if it.found} == set(inspector.inspections.rules)
    assert {it.rule for it in results if not it.found} == set(inspector.inspections.rules)


@pytest.mark.parametrize("name", ["small", "medium"])
def test_facts_hold_no_field_and_no_word_that_the_vocabulary_lacks(inspector: Inspector, name: str) -> None:
    assert_in_vocabulary(inspector, View(read_topology(site_from_data(demo_data(name)))))


def test_the_facts_of_all_cases_keep_to_the_vocabulary_too(inspector: Inspector) -> None:
    for rule in inspector.inspections.rules.values():
        for case in rule.cases:
            assert_in_vocabulary(inspector, View(read_topology(site_from_data(case_site(rule, case)))))


def assert_in_vocabulary(inspector: Inspector, view: View) -> None:
    for fact in inspection_facts(view):
        shape = inspector.inspections.facts[fact.kind]
        for name, value in fact.fields:
            assert name in shape.fields, (fact.kind, name)
            assert type(value) in (str, float), (fact.kind, name, value)
            words = shape.fields[name].words
            assert words is None or value in words, (fact.kind, name, value)


def test_facts_that_meet_no_condition_are_not_handed_over_and_change_nothing(inspector: Inspector) -> None:
    data = demo_data("medium")
    change(data, "outputs.out1.rated_current_a", 2)
    change(data, "drives.d2.address", 1)
    view = View(read_topology(site_from_data(data)))
    whole, handed = inspection_facts(view), inspection_facts(view, inspector.sieves)

    assert inspector.evaluate("inspection", handed) == inspector.evaluate("inspection", whole)
    assert [it.kind for it in handed] == ["output", "same-address"]


def test_a_case_takes_the_site_of_the_first_and_changes_it(inspector: Inspector) -> None:
    rule: InspectionRule = inspector.inspections.rules["output-overloaded"]
    first, second, *_ = (case_site(rule, case) for case in rule.cases)

    assert first["outputs"]["o1"] == {"rated_current_a": 2}
    assert second["outputs"]["o1"] == {"rated_current_a": 3}
    assert second["drives"] == first["drives"]


def test_a_change_makes_what_is_missing_and_none_takes_a_field_out() -> None:
    data: dict[str, object] = {"zones": {"z1": {"openings": []}}}
    change(data, "links.bl1.address", 3)
    change(data, "zones.z1.openings", None)

    assert data == {"zones": {"z1": {}}, "links": {"bl1": {"address": 3}}}
    assert list(described(data)) == ["zones.z1", "links.bl1.address"]
