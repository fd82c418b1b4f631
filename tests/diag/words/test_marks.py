"""Words become numbered marks whose weights do not depend on how long the text is."""

from __future__ import annotations

import numpy as np
import pytest

from diag.words.marks import ALL_BUCKETS, BUCKETS, GROUP_WEIGHTS, count_marks, weigh_marks
from diag.words.roles import Features

EVEN = np.ones(ALL_BUCKETS, np.float32)
IDEAS: Features = (frozenset({"vent", "opening"}), frozenset(), frozenset({"no-close"}))


def test_the_same_words_have_the_same_marks() -> None:
    assert count_marks(["vent", "stuck"]) == count_marks(["vent", "stuck"])


def test_neighbours_count_in_their_order() -> None:
    assert count_marks(["opens", "closes"])[0] != count_marks(["closes", "opens"])[0]


def test_a_slip_shares_most_bits_of_its_word() -> None:
    right, slipped = count_marks(["window"])[1], count_marks(["windowx"])[1]
    assert len(right.keys() & slipped.keys()) > len(right) / 2


@pytest.mark.parametrize("words", [["vent"], ["the", "roof", "vent", "does", "not", "close", "in", "the", "rain"]])
def test_each_group_weighs_the_same_however_long_the_text_is(words: list[str]) -> None:
    _, weights = weigh_marks(words, EVEN, IDEAS)
    assert float(weights @ weights) == pytest.approx(sum(weight**2 for weight in GROUP_WEIGHTS), abs=1e-4)


def test_ideas_are_numbered_behind_the_words_with_those_that_follow_each_other() -> None:
    ideas = count_marks([], IDEAS)[2]
    assert len(ideas) == 5
    assert min(ideas) >= BUCKETS


def test_a_rare_mark_weighs_more() -> None:
    whole, _, _ = count_marks(["vent"])
    rarity = EVEN.copy()
    rarity[next(iter(whole))] = 3.0
    numbers, weights = weigh_marks(["vent", "stuck"], rarity)
    assert weights[list(numbers).index(next(iter(whole)))] == weights.max()


def test_no_words_have_no_marks() -> None:
    numbers, weights = weigh_marks([], EVEN)
    assert len(numbers) == len(weights) == 0
