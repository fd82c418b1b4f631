"""Facts of a case: every field is in the vocabulary and holds one of its words."""

from __future__ import annotations

import pytest

from diag.facts import build_facts
from diag.reasoner import PreparedSite, Reasoner, prepare_site
from diag.rules import Fact
from diag.site import Site
from tests.builders import reasoning_of


def facts_of(reasoner: Reasoner, site: PreparedSite, *symptoms: str, **known: object) -> dict[tuple[str, str], Fact]:
    """Return the facts by kind and part."""
    facts = reasoning_of(reasoner, site, *symptoms, **known).facts
    return {(it.kind, str(it.get("part", ""))): it for it in facts}


def words_out_of_vocabulary(reasoner: Reasoner, facts: tuple[Fact, ...]) -> set[str]:
    """Return what the facts say that the vocabulary does not allow."""
    wrong = set()
    for it in facts:
        shape = reasoner.knowledge.facts[it.kind]
        wrong |= {f"{it.kind} lacks {field}" for field in set(shape.fields) - {name for name, _ in it.fields}}
        for field, value in it.fields:
            words = shape.fields[field].words
            if words is not None and value not in words:
                wrong.add(f"{it.kind} {field} is {value}")
    return wrong


def test_every_fact_of_every_symptom_keeps_to_the_vocabulary(
    reasoner: Reasoner, small: PreparedSite, medium: PreparedSite
) -> None:
    bare = prepare_site(Site(name="bare"))
    wrong = {
        word
        for site in (small, medium, bare)
        for symptom in reasoner.knowledge.symptoms
        for word in words_out_of_vocabulary(reasoner, reasoning_of(reasoner, site, symptom).facts)
    }

    assert wrong == set()


def test_a_drive_fact_carries_what_it_hangs_on(reasoner: Reasoner, small: PreparedSite) -> None:
    drive = facts_of(reasoner, small, "drive-dead@d1")[("drive", "d1")]

    assert (drive["output"], drive["controller"], drive["zone"], drive["opening"]) == ("out1", "c1", "za", "w1")
    assert (drive["output_kind"], drive["addressable"], drive["voltage_margin"]) == ("data-24v", "yes", "ok")


def test_neighbours_are_alive_when_the_others_are_said_to_work(reasoner: Reasoner, small: PreparedSite) -> None:
    told = facts_of(reasoner, small, "drive-dead@d1", told=["others-fine"])[("drive", "d1")]
    both = facts_of(reasoner, small, "drive-dead@d1", "drive-dead@d2")[("drive", "d1")]

    assert told["neighbours"] == "alive"
    assert both["neighbours"] == "dead"


def test_a_zone_fact_says_that_the_hold_off_runs(reasoner: Reasoner, small: PreparedSite) -> None:
    zone = facts_of(reasoner, small, "automatic-ignored@za", events=["11:48=manual@sw-a"])[("zone", "za")]

    assert zone["hold_off"] == "running"


def test_a_command_to_another_zone_starts_no_hold_off_here(reasoner: Reasoner, small: PreparedSite) -> None:
    zone = facts_of(reasoner, small, "automatic-ignored@zb", events=["11:48=manual@sw-a"])[("zone", "zb")]

    assert zone["hold_off"] == "unknown"


def test_a_lockout_of_several_zones_is_a_fact_for_each(reasoner: Reasoner, medium: PreparedSite) -> None:
    facts = reasoning_of(reasoner, medium, "automatic-ignored@zs").facts
    lockouts = {(it["part"], it["zone"]) for it in facts if it.kind == "lockout"}

    assert ("lo-rain", "zs") in lockouts


def test_a_stand_in_says_what_all_parts_of_its_kind_agree_on(reasoner: Reasoner, medium: PreparedSite) -> None:
    zone = facts_of(reasoner, medium, "automatic-ignored")[("zone", "?zone")]

    assert zone["automatic"] == "enabled"
    assert zone["scheduled"] == "unknown"


def test_facts_do_not_depend_on_the_order_of_what_is_told(reasoner: Reasoner, small: PreparedSite) -> None:
    one = reasoning_of(reasoner, small, "drive-dead@d1", "not-tight@w1", told=["when-cold", "suddenly"])
    other = reasoning_of(reasoner, small, "not-tight@w1", "drive-dead@d1", told=["suddenly", "when-cold"])

    assert one.facts == other.facts
    assert build_facts(one.situation, reasoner.vocabulary) == one.facts


@pytest.mark.parametrize("part", ["d1", "w1", "za", "out1", "c1"])
def test_any_part_may_be_named_for_any_symptom(reasoner: Reasoner, small: PreparedSite, part: str) -> None:
    for symptom in reasoner.knowledge.symptoms:
        assert reasoning_of(reasoner, small, f"{symptom}@{part}").hypotheses.open
