"""Each fact that joins two kinds of part is there on some site, and says what a rule can ask."""

from __future__ import annotations

import pytest
import yaml

from diag.lint_grounds import Ground, grounds
from diag.lint_reach import can_fire
from diag.part_joins import JOINS, join_of
from knowledge.entries import RuleEntry
from knowledge.load import Knowledge


@pytest.fixture(scope="module")
def sites(knowledge: Knowledge) -> list[Ground]:
    """Return the sites over which rules are tried."""
    return list(grounds(knowledge))


@pytest.mark.parametrize(("kind", "sits_at"), JOINS)
def test_a_rule_that_joins_two_parts_can_fire(
    knowledge: Knowledge, sites: list[Ground], kind: str, sits_at: str
) -> None:
    symptom = next(it.id for it in knowledge.symptoms.values() if kind in it.about)
    noticed = {"symptom": {"symptom": symptom, "part": "$x", "part_kind": kind}}
    joined = yaml.safe_load(join_of(kind, sits_at, "$x", "$y"))
    rule = RuleEntry(id="joined", suspect="often", at="$y", when=[noticed, joined], because="They are joined.")

    assert any(can_fire(knowledge, site, rule) for site in sites)


@pytest.mark.parametrize(("kind", "sits_at"), JOINS)
def test_a_join_asks_only_for_facts_and_fields_that_exist(knowledge: Knowledge, kind: str, sits_at: str) -> None:
    ((fact, fields),) = yaml.safe_load(join_of(kind, sits_at, "$x", "$y")).items()

    assert set(fields) <= set(knowledge.facts[fact].fields)
    assert {"$x", "$y"} <= set(fields.values())


def test_a_rule_that_joins_parts_no_site_joins_cannot_fire(knowledge: Knowledge, sites: list[Ground]) -> None:
    noticed = {"symptom": {"symptom": "fan-never-stops", "part": "$f", "part_kind": "fan"}}
    joined = {"moved-by": {"drive": "$f", "opening": "$y"}}
    rule = RuleEntry(id="joined", suspect="often", at="$y", when=[noticed, joined], because="They are not joined.")

    assert not any(can_fire(knowledge, site, rule) for site in sites)
