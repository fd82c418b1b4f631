"""Dice whose spread numbers keep away from those of other seeds, so that quizzes seldom meet on a question."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random
from typing import TypeVar

GOLDEN = (5**0.5 - 1) / 2
"""Its multiples, without their whole part, lie as far from each other as numbers can (Weyl; Knuth 6.4)."""

OF_A_SEED, OF_AN_ATTEMPT = 256, 4
"""Places that a seed has in that row of numbers, and those that one attempt takes of them."""

Option = TypeVar("Option")


class Dice(Random):
    """Dice of one attempt at a question."""

    place = 0

    def spread(self) -> float:
        """Return a number from 0 up to 1 that lies away from those of other attempts and of other seeds."""
        self.place += 1
        return self.place * GOLDEN % 1.0


def dice_of(seed: int, name: str, attempt: int) -> Dice:
    """Return the dice of an attempt, by its number among those of its kind in the quiz."""
    dice = Dice(f"{seed}/{name}/{attempt}")
    dice.place = (seed * OF_A_SEED + attempt * OF_AN_ATTEMPT) % 2**40
    return dice


def spread(rng: Random) -> float:
    """Return a spread number where the dice give such, else any."""
    return rng.spread() if isinstance(rng, Dice) else rng.random()


def pick(options: Sequence[Option], share: float) -> tuple[Option, float]:
    """Return the option at this share of the way through them, and how far within it the share lies."""
    at = share * len(options)
    place = min(int(at), len(options) - 1)
    return options[place], at - place
