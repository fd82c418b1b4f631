"""The sieves keep every part that a rule could find something at, and ask each shared mapping once."""

from __future__ import annotations

import pytest

from diag.inspection.cases import change
from diag.inspection.facts import describe, described_kinds, inspection_facts
from diag.inspection.run import Inspector
from diag.inspection.sieve import make_sieves, sift
from diag.inspection.view import View, Words
from diag.rules import Condition, Fact, Rule, Template, Test
from diag.site_file import site_from_data
from diag.topology import read_topology
from tests.diag.inspection.builders import TODAY, demo_data, view_of
from tests.diag.inspection.test_demo_sites import SEEDED

SHORT_AND_LONG = Rule(
    code="short-and-long",
    when=(
        Condition(
            "cable", (Test("part", "same-as", "$k"), Test("core_count", "is", "short"), Test("length_m", "above", 50.0))
        ),
    ),
    then=Template("finding", (("part", "$k"),)),
)


def kept(*parts: tuple[str, Words, Words]) -> list[str]:
    """Return the cables kept by a rule that asks one thing of the shared fields and one of the others."""
    sieve = make_sieves([SHORT_AND_LONG], {"cable": {"core_count"}})["cable"]
    return [part for part, _, _ in sift(sieve, parts)]


def test_a_part_stays_when_both_halves_of_its_words_meet_a_condition() -> None:
    short: Words = {"core_count": "short"}

    assert kept(("k1", short, {"length_m": 80.0}), ("k2", short, {"length_m": 20.0})) == ["k1"]
    assert kept(("k3", {"core_count": "ok"}, {"length_m": 80.0}), ("k4", short, {"length_m": None})) == []


def test_a_kind_that_no_rule_asks_for_is_left_out_whole() -> None:
    assert list(sift(None, [("k1", {}, {})])) == []


@pytest.mark.parametrize("kind", ["output", "cable", "drive", "opening", "zone", "input"])
def test_what_parts_alike_share_has_the_same_fields_at_every_part(kind: str) -> None:
    view = View(read_topology(site_from_data(demo_data("medium"))), TODAY)
    shared = described_kinds()[kind]

    for part in view.topology.of_kind(kind):
        words = describe(view, kind, part)
        assert words is not None
        assert shared <= words.keys()


def test_parts_alike_share_and_others_do_not() -> None:
    cables = {part: {"area_mm2": 2.5, "from": "o1", "to": part.replace("k", "d")} for part in ("k1", "k2")}
    drives = {"d1": {"output": "o1", "running_current_a": 1}, "d2": {"output": "o1", "running_current_a": 2}}
    view = view_of(outputs={"o1": {"kind": "reversing-24v"}}, cables=cables, drives=drives)

    one, other = describe(view, "cable", "k1"), describe(view, "cable", "k2")

    assert one is not None
    assert other is not None
    assert {name for name in one if one[name] != other[name]} == {"carried_a"}


@pytest.mark.parametrize("fault", SEEDED)
def test_the_engine_finds_the_same_in_what_is_kept_as_in_the_whole(inspector: Inspector, fault: str) -> None:
    data = demo_data("medium")
    for path, value in SEEDED[fault][0].items():
        change(data, path, value)
    view = View(read_topology(site_from_data(data)), TODAY)
    whole, handed = (frozenset(inspection_facts(view, sieves)) for sieves in (None, inspector.sieves))

    assert handed < whole
    assert found(inspector, handed) == found(inspector, whole) != set()


def found(inspector: Inspector, facts: frozenset[Fact]) -> set[Fact]:
    """Return what the rules derive from these facts."""
    return {firing.derived for firing in inspector.evaluate("inspection", tuple(sorted(facts, key=str)))}
