"""See how the choices of a question were used, and flag the questions that a trainer should look at."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from diag.training.item import Item
from diag.training.item_statistics import FEWEST_LEARNERS, ItemFigures, correlation

SELDOM_CHOSEN = 0.05
"""A wrong answer that fewer choose does not work (Haladyna and Downing 1993, from memory)."""

TOO_EASY, LOW_DISCRIMINATION = 0.95, 0.10
"""Common practice, no source: above, and below, a question tells little about who knows more."""


@dataclass(frozen=True, slots=True)
class ChoiceUse:
    """How often a choice was given, and how that goes with the score on the other questions."""

    choice: str
    count: int
    share: float
    with_rest: float | None


@dataclass(frozen=True, slots=True)
class Flag:
    """Something to look at, and what it can mean."""

    kind: str
    says: str


def choice_use(item: Item, given: Sequence[tuple[str, ...]], rest: Sequence[float]) -> tuple[ChoiceUse, ...]:
    """Return the use of every choice of an item where one is chosen; `rest` is each learner's score without it."""
    if item.response != "choice" or not given:
        return ()
    scores = np.array(rest, dtype=float)
    used = []
    for it in item.choices:
        chose = np.array([it.id in one for one in given], dtype=float)
        used.append(ChoiceUse(it.id, int(chose.sum()), float(chose.mean()), correlation(chose, scores)))
    return tuple(used)


def flags(item: Item, figures: ItemFigures, use: Sequence[ChoiceUse], learners: int) -> tuple[Flag, ...]:
    """Return what a trainer should look at; nothing while too few have answered."""
    if learners < FEWEST_LEARNERS:
        return ()
    return (*_item_flags(item, figures), *_choice_flags(item, figures, use))


def _item_flags(item: Item, figures: ItemFigures) -> Iterator[Flag]:
    chance = 1 / len(item.choices) if item.response == "choice" else 0.0
    if figures.difficulty > TOO_EASY:
        yield Flag("easy", "Nearly everybody is right. It tells little about who knows more.")
    if figures.difficulty < chance:
        yield Flag("below-chance", "Fewer are right than by guessing. Check the key and the wording.")
    if figures.with_rest is not None and figures.with_rest < 0:
        yield Flag("negative", "Those who know more get it wrong more often. Check the key and the wording.")
    elif figures.with_rest is not None and figures.with_rest < LOW_DISCRIMINATION:
        yield Flag("low", "It hardly tells those who know more from the others.")


def _choice_flags(item: Item, figures: ItemFigures, use: Sequence[ChoiceUse]) -> Iterator[Flag]:
    """Yield wrong answers that do not work; on easy questions their share is taken among the wrong answers alone."""
    wrong = [it for it in use if it.choice != item.answer[0]]
    answered_wrong = sum(it.count for it in wrong)
    texts = {it.id: it.text for it in item.choices}
    for it in wrong:
        share = it.count / answered_wrong if figures.difficulty > TOO_EASY and answered_wrong else it.share
        if share < SELDOM_CHOSEN:
            yield Flag("unused", f"“{texts[it.choice]}” is hardly chosen. Put a likelier mistake in its place.")
        elif it.with_rest is not None and it.with_rest > 0:
            yield Flag("draws-the-strong", f"“{texts[it.choice]}” is chosen by those who know more. Is it right too?")
