"""Patterns, phrases and training come together as chances."""

from __future__ import annotations

import pytest

from diag.words.joining import join_chances, with_clauses, without_nothing
from diag.words.scope import is_recognised
from diag.words.trained import NOTHING

EVIDENCE = {"noisy": 2.0, "moves-slowly": 1.0, NOTHING: 0.0}
BOTH = ("noisy", "moves-slowly")


def test_chances_add_up_to_one() -> None:
    chances = join_chances(EVIDENCE, {}, {}, BOTH)
    assert sum(chances.values()) == pytest.approx(1.0)
    assert sum(without_nothing(chances).values()) == pytest.approx(1.0)


def test_a_pattern_raises_its_symptom() -> None:
    plain, raised = (join_chances(EVIDENCE, scores, {}, BOTH) for scores in ({}, {"moves-slowly": 0.9}))
    assert raised["moves-slowly"] > plain["moves-slowly"]


def test_a_phrase_of_the_knowledge_base_word_for_word_outweighs_training() -> None:
    chances = join_chances(EVIDENCE, {"moves-slowly": 1.1}, {"moves-slowly": 1.0}, BOTH)
    assert max(chances, key=lambda it: chances[it]) == "moves-slowly"


def test_half_a_likeness_to_a_phrase_adds_nothing() -> None:
    assert join_chances(EVIDENCE, {}, {"moves-slowly": 0.5}, BOTH) == join_chances(EVIDENCE, {}, {}, BOTH)


def test_a_symptom_training_knows_nothing_of_is_found_by_its_own_phrase() -> None:
    chances = join_chances(EVIDENCE, {"newly-written": 1.2}, {"newly-written": 1.0}, (*BOTH, "newly-written"))
    assert max(chances, key=lambda it: chances[it]) == "newly-written"


def test_a_symptom_training_knows_nothing_of_stays_behind_without_a_phrase() -> None:
    chances = join_chances(EVIDENCE, {}, {}, (*BOTH, "newly-written"))
    assert chances["newly-written"] < 0.01


def test_a_symptom_the_knowledge_base_has_dropped_is_not_given() -> None:
    assert set(join_chances(EVIDENCE, {}, {}, ["noisy"])) == {"noisy", NOTHING}


def test_nothing_said_gives_no_chances_and_is_not_recognised() -> None:
    assert join_chances({}, {}, {}, BOTH) == {}
    assert not is_recognised({}, frozenset())


def test_what_is_likely_another_matter_is_not_recognised() -> None:
    said = frozenset({"vent", "noise"})
    assert is_recognised({"noisy": 0.9, NOTHING: 0.1}, said)
    assert not is_recognised({"noisy": 0.4, NOTHING: 0.6}, said)


def test_a_thing_alone_is_not_recognised() -> None:
    assert not is_recognised({"noisy": 0.9, NOTHING: 0.1}, frozenset({"vent", "one-opening", "opening"}))


def test_a_clause_brings_its_own_symptom_near_the_front() -> None:
    whole = {"noisy": 0.9, "moves-slowly": 0.0, NOTHING: 0.1}
    clauses = [{"noisy": 1.0, NOTHING: 0.0}, {"moves-slowly": 0.5, NOTHING: 0.5}]
    joined = with_clauses(whole, clauses)
    assert joined["noisy"] > joined["moves-slowly"] > 0.1
    assert joined[NOTHING] == whole[NOTHING]
    assert sum(joined.values()) == pytest.approx(1.0)


def test_a_single_clause_changes_nothing() -> None:
    whole = {"noisy": 0.9, NOTHING: 0.1}
    assert with_clauses(whole, [{"noisy": 0.2, NOTHING: 0.8}]) == whole
