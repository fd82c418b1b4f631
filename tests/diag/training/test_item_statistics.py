"""Item statistics against the published LSAT-6 data and against general statistics libraries."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from diag.training.item_statistics import coefficient_alpha, correlation, kr20, test_figures

LSAT6 = """
00000 3, 00001 6, 00010 2, 00011 11, 00100 1, 00101 1, 00110 3, 00111 4, 01000 1, 01001 8, 01011 16, 01101 3, 01110 2,
01111 15, 10000 10, 10001 29, 10010 14, 10011 81, 10100 3, 10101 28, 10110 15, 10111 80, 11000 16, 11001 56, 11010 21,
11011 173, 11100 11, 11101 61, 11110 28, 11111 298
"""
"""Answers of 1,000 people to five questions of the Law School Admission Test (Bock and Lieberman 1970)."""


@pytest.fixture(scope="module")
def answers() -> NDArray[np.float64]:
    rows: list[list[int]] = []
    for entry in LSAT6.replace("\n", " ").split(","):
        pattern, count = entry.split()
        rows += [[int(it) for it in pattern]] * int(count)
    return np.array(rows, dtype=float)


def test_difficulties_are_the_published_shares(answers: NDArray[np.float64]) -> None:
    figures = test_figures(answers.tolist())

    assert figures.learners == 1000
    assert [it.difficulty for it in figures.items] == pytest.approx([0.924, 0.709, 0.553, 0.763, 0.870])


def test_correlations_with_the_total_and_with_the_rest(answers: NDArray[np.float64]) -> None:
    items = test_figures(answers.tolist()).items

    assert [it.with_total for it in items] == pytest.approx([0.3620, 0.5668, 0.6184, 0.5344, 0.4354], abs=5e-5)
    assert [it.with_rest for it in items] == pytest.approx([0.1128, 0.1532, 0.1728, 0.1444, 0.1216], abs=5e-5)


def test_alpha_and_alpha_without_each_question(answers: NDArray[np.float64]) -> None:
    figures = test_figures(answers.tolist())

    assert figures.alpha == pytest.approx(0.2950, abs=5e-5)
    assert [it.alpha_without for it in figures.items] == pytest.approx(
        [0.2754, 0.2376, 0.2168, 0.2459, 0.2663], abs=5e-5
    )


def test_kr20_is_alpha_of_right_and_wrong(answers: NDArray[np.float64]) -> None:
    assert kr20(answers) == pytest.approx(coefficient_alpha(answers))


def test_the_standard_error_follows_from_spread_and_reliability(answers: NDArray[np.float64]) -> None:
    figures = test_figures(answers.tolist())

    assert figures.alpha is not None
    assert figures.error == pytest.approx(answers.sum(axis=1).std() * (1 - figures.alpha) ** 0.5)


def test_point_biserial_agrees_with_a_general_statistics_library(answers: NDArray[np.float64]) -> None:
    stats = pytest.importorskip("scipy.stats", reason="scipy is not installed")
    rest = answers.sum(axis=1) - answers[:, 2]

    assert correlation(answers[:, 2], rest) == pytest.approx(float(stats.pointbiserialr(answers[:, 2], rest)[0]))


def test_where_everybody_is_right_nothing_is_made_up() -> None:
    figures = test_figures([[1, 1], [1, 0], [1, 1]])

    assert figures.items[0].with_rest is None
    assert test_figures([[1, 1], [1, 1]]).alpha is None
    assert not figures.is_enough


def test_an_empty_table_is_refused() -> None:
    with pytest.raises(ValueError, match="a row for each learner"):
        test_figures([])
