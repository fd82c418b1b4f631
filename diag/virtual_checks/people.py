"""How people go wrong: a share of wrong answers, parts out of reach, and checks they did not make."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random
from typing import Literal

Mood = Literal["honest", "wrong", "cannot", "did-not-look", "not-sure"]
SOFT_WRONG_FACTOR = 4.0
"""How much oftener an answer is wrong that somebody only thinks; judgement."""

SAID: dict[Mood, str] = {
    "cannot": "Cannot reach it",
    "did-not-look": "Did not look",
    "not-sure": "Not sure",
}
"""What somebody says who brings no finding."""


@dataclass(frozen=True, slots=True)
class Person:
    """How often somebody answers wrongly, cannot reach a part, did not look, is not sure, or only thinks so; of 1."""

    wrong_share: float = 0.0
    cannot_share: float = 0.0
    skipped_share: float = 0.0
    unsure_share: float = 0.0
    soft_share: float = 0.0

    def is_sure(self, dice: Random) -> bool:
        """Return whether the person is sure of what they say, and does not only think so."""
        return self.soft_share == 0.0 or dice.random() >= self.soft_share

    def mood(self, dice: Random, is_sure: bool = True) -> Mood:
        """Return how the person answers this time; who only thinks so is wrong oftener."""
        luck = dice.random()
        shares: tuple[tuple[Mood, float], ...] = (
            ("cannot", self.cannot_share),
            ("did-not-look", self.skipped_share),
            ("not-sure", self.unsure_share),
        )
        for mood, share in shares:
            if luck < share:
                return mood
            luck -= share
        wrong = self.wrong_share * (1.0 if is_sure else SOFT_WRONG_FACTOR)
        return "wrong" if dice.random() < wrong else "honest"


PERFECT = Person()
CAREFUL = Person(cannot_share=0.02, skipped_share=0.01, unsure_share=0.01)
HURRIED = Person(wrong_share=0.05, cannot_share=0.02, skipped_share=0.02, unsure_share=0.02)
"""Shares are judgement."""
