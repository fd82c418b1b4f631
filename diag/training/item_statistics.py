"""Work out how questions did: difficulty, discrimination, reliability, with population variances throughout.

Formulas: coefficient alpha (Cronbach 1951), KR-20 (Kuder and Richardson 1937) as its case for right and wrong,
item-rest correlation as discrimination; from memory, held to the LSAT-6 data in the tests.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FEWEST_LEARNERS = 30
"""Below this many learners figures say next to nothing and are not shown: judgement."""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class ItemFigures:
    """How one question did.

    `difficulty` is the share of right answers. `with_rest` correlates it with the score on the other questions,
    `with_total` with the whole score; None where everybody, or nobody, was right. `alpha_without` is the test's alpha
    without it.
    """

    difficulty: float
    with_rest: float | None
    with_total: float | None
    alpha_without: float | None


@dataclass(frozen=True, slots=True)
class TestFigures:
    """How a whole quiz did: so many learners, mean and spread of the score, reliability and standard error."""

    __test__ = False
    """Not a test case, whatever a test runner makes of the name."""

    learners: int
    mean: float
    deviation: float
    alpha: float | None
    error: float | None
    items: tuple[ItemFigures, ...]

    @property
    def is_enough(self) -> bool:
        """Return whether there are learners enough to show the figures."""
        return self.learners >= FEWEST_LEARNERS


def test_figures(scores: Sequence[Sequence[float]]) -> TestFigures:
    """Return the figures of a table with a row for each learner and a column for each question, 1 for right.

    Raise ValueError unless every row has as many columns, one at least.
    """
    table = np.array(scores, dtype=float)
    if table.ndim != 2 or not table.size:
        raise ValueError("scores need a row for each learner and a column for each question")
    total = table.sum(axis=1)
    alpha = coefficient_alpha(table)
    deviation = float(total.std())
    return TestFigures(
        learners=table.shape[0],
        mean=float(total.mean()),
        deviation=deviation,
        alpha=alpha,
        error=None if alpha is None else deviation * (1.0 - min(1.0, alpha)) ** 0.5,
        items=tuple(_item(table, total, place) for place in range(table.shape[1])),
    )


test_figures.__test__ = False  # type: ignore[attr-defined]  # not a test, whatever a test runner makes of the name


def coefficient_alpha(table: Floats) -> float | None:
    """Return alpha of a table of scores; None for fewer than two questions or when all have the same score."""
    count = table.shape[1]
    whole = float(table.sum(axis=1).var())
    if count < 2 or whole <= 0:
        return None
    return float(count / (count - 1) * (1.0 - float(table.var(axis=0).sum()) / whole))


def kr20(table: Floats) -> float | None:
    """Return KR-20 of a table of zeros and ones: alpha written with p q in place of the variances."""
    count = table.shape[1]
    whole = float(table.sum(axis=1).var())
    if count < 2 or whole <= 0:
        return None
    right = table.mean(axis=0)
    return float(count / (count - 1) * (1.0 - float((right * (1.0 - right)).sum()) / whole))


def correlation(one: Floats, other: Floats) -> float | None:
    """Return the correlation of two columns; None when one of them never changes."""
    if one.std() == 0 or other.std() == 0:
        return None
    return float(((one - one.mean()) * (other - other.mean())).mean() / (one.std() * other.std()))


def _item(table: Floats, total: Floats, place: int) -> ItemFigures:
    column = table[:, place]
    return ItemFigures(
        difficulty=float(column.mean()),
        with_rest=correlation(column, total - column),
        with_total=correlation(column, total),
        alpha_without=coefficient_alpha(np.delete(table, place, axis=1)),
    )
