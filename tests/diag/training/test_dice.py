"""Spread draws: seeds that follow each other, and those far apart, keep away from each other's options."""

from __future__ import annotations

from collections import Counter
from random import Random

from diag.training.dice import dice_of, pick, spread


def test_the_same_seed_and_attempt_give_the_same_numbers() -> None:
    one, two = (dice_of(7, "is-fault", 3) for _ in range(2))

    assert [one.spread(), one.random(), one.spread()] == [two.spread(), two.random(), two.spread()]


def test_seeds_that_follow_each_other_pick_other_options() -> None:
    options = list(range(100))
    picked = Counter(
        pick(options, dice_of(seed, "is-fault", attempt).spread())[0] for seed in range(25) for attempt in (1, 2)
    )

    assert max(picked.values()) <= 2
    assert len(picked) > 40, "by plain chance about 39 of 50"


def test_every_option_can_be_picked_and_the_rest_of_the_number_says_where_in_it() -> None:
    assert pick("abc", 0.0) == ("a", 0.0)
    option, within = pick("abc", 0.5)

    assert option == "b"
    assert abs(within - 0.5) < 1e-9
    assert pick("abc", 0.9999999999999999)[0] == "c"


def test_plain_dice_serve_as_well() -> None:
    assert spread(Random(3)) == Random(3).random()
