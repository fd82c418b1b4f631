"""Two faults at once: suspected only where something makes them likely, and led by nothing less than both findings."""

from __future__ import annotations

import pytest

from diag.case_text import read_finding, read_symptom
from diag.diagnose import diagnose
from diag.observations import Case
from diag.reasoner import Reasoner, prepare_site
from diag.reasoning import open_case
from diag.site import Site
from knowledge.entries import NumberBound, RuleEntry
from knowledge.load import Knowledge

NOWHERE = prepare_site(Site(name="bare"))

SEEN = "the other half is the symptom itself"

DOUBLES = {
    "battery-and-charger-failed": (
        ("battery-fault", "after-replacement"),
        {"volts-charger=none": "charger-failed", "volts-battery-after-charge=drops": "battery-aged"},
    ),
    "cores-swapped-and-stroke-not-set": (
        ("runs-reversed", "after-replacement"),
        {"try-swap-cores=cured": "polarity-swapped", "read-drive-settings=stroke-short": SEEN},
    ),
    "cores-swapped-and-end-of-line-wrong": (
        ("drive-line-fault", "after-replacement"),
        {"look-end-of-line=missing": "end-of-line-missing", "volts-drive=reversed": SEEN},
    ),
    "settings-copied-and-address-doubled": (
        ("building-link-offline", "after-settings-copied"),
        {
            "read-site-name-in-settings=other-site": "settings-from-elsewhere",
            "read-link-address=duplicate": "link-address-duplicate",
        },
    ),
    "hinge-stiff-and-drive-worn": (
        ("noisy", "gradually"),
        {"look-hinges=stiff-or-corroded": "hinge-seized", "try-drive-detached=same-fault": "drive-gear-worn"},
    ),
    "box-wet-and-fuse-blown": (
        ("zone-dead", "when-wet"),
        {"ohms-fuse-output=open": "output-fuse-blown", "look-junction-box=wet": "junction-box-wet"},
    ),
}
"""For each double fault the symptom and circumstance that bring it up, and the finding that shows each half with the
single fault that leads on it alone; SEEN where the symptom already shows the other half."""


def case_of(double: str, *findings: str, told: bool = True) -> Case:
    """Return the case that brings up a double fault, with these findings."""
    (symptom, circumstance), _ = DOUBLES[double]
    return Case(
        symptoms=(read_symptom(symptom),),
        told=frozenset({circumstance} if told else ()),
        findings=tuple(read_finding(it) for it in findings),
    )


@pytest.mark.parametrize("double", DOUBLES)
def test_it_leads_once_both_halves_are_found(reasoner: Reasoner, double: str) -> None:
    leader = diagnose(reasoner, NOWHERE, case_of(double, *DOUBLES[double][1])).causes[0]

    assert leader.cause == double


@pytest.mark.parametrize("double", DOUBLES)
def test_one_half_alone_leaves_a_single_fault_ahead(reasoner: Reasoner, double: str) -> None:
    halves = {finding: single for finding, single in DOUBLES[double][1].items() if single != SEEN}

    assert {it: diagnose(reasoner, NOWHERE, case_of(double, it)).causes[0].cause for it in halves} == halves


@pytest.mark.parametrize("double", DOUBLES)
def test_it_is_not_thought_of_where_nothing_makes_it_likely(reasoner: Reasoner, double: str) -> None:
    with_it = open_case(reasoner, NOWHERE, case_of(double)).hypotheses.open
    without = open_case(reasoner, NOWHERE, case_of(double, told=False)).hypotheses.open

    assert double in {it.cause for it in with_it}
    assert double not in {it.cause for it in without}


@pytest.mark.parametrize("double", DOUBLES)
def test_every_suspicion_asks_for_more_than_the_symptom_and_how_parts_are_joined(
    knowledge: Knowledge, double: str
) -> None:
    suspicions = [rule for rule in knowledge.causes[double].rules if rule.suspect]

    assert [rule.id for rule in suspicions if not _asks_for_a_circumstance(rule)] == []


def _asks_for_a_circumstance(rule: RuleEntry) -> bool:
    """Return whether a rule asks for something told, an age, a renewal, or a symptom that names the circumstance."""
    asked = [
        (kind, field, value) for fact in rule.when for kind, fields in fact.items() for field, value in fields.items()
    ]
    return any(
        kind == "told" or field in ("battery_age", "replaced") or value == "settings-copied-misbehaves"
        for kind, field, value in asked
        if not isinstance(value, NumberBound)
    )


@pytest.mark.parametrize("double", DOUBLES)
def test_it_is_rarer_than_each_of_its_halves(knowledge: Knowledge, double: str) -> None:
    rate = knowledge.causes[double].base_rate.per_thousand
    halves = [single for single in DOUBLES[double][1].values() if single != SEEN]

    assert halves
    assert all(rate < knowledge.causes[single].base_rate.per_thousand for single in halves)
