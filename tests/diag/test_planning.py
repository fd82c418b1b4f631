"""What a check tells, and which check comes first."""

from __future__ import annotations

import math

import numpy as np
import pytest

from diag.likelihoods import MOST_OUTCOMES
from diag.options import Options
from diag.planning import best_first, information_bits


def options(tables: list[list[list[float]]]) -> Options:
    """Return options from tables[check][hypothesis][outcome]."""
    hypotheses = len(tables[0])
    chances = np.zeros((len(tables), hypotheses, MOST_OUTCOMES))
    for check, rows in enumerate(tables):
        for hypothesis, row in enumerate(rows):
            chances[check, hypothesis, : len(row)] = row
    logs = np.log2(chances, out=np.zeros_like(chances), where=chances > 0)
    names = tuple((f"check{place}", "part") for place in range(len(tables)))
    return Options(names, chances, -(chances * logs).sum(axis=2))


def entropy(probabilities: list[float]) -> float:
    """Return the entropy in bits."""
    return -sum(it * math.log2(it) for it in probabilities if it > 0)


def expected_fall(prior: list[float], table: list[list[float]]) -> float:
    """Return the entropy now less its expectation after the check, straight from the definition."""
    left = 0.0
    for outcome in range(len(table[0])):
        joint = [p * row[outcome] for p, row in zip(prior, table, strict=True)]
        total = sum(joint)
        left += total * entropy([it / total for it in joint]) if total else 0.0
    return entropy(prior) - left


TABLE = [[0.9, 0.1, 0.0], [0.2, 0.3, 0.5], [0.2, 0.3, 0.5]]


def test_the_bits_of_a_check_are_the_expected_fall_of_entropy() -> None:
    prior = [0.5, 0.3, 0.2]

    bits = information_bits(np.array(prior), options([TABLE]))

    assert bits[0] == pytest.approx(expected_fall(prior, TABLE), abs=1e-12)


def test_a_check_with_the_same_outcome_under_every_cause_tells_nothing() -> None:
    assert information_bits(np.array([0.5, 0.5]), options([[[0.7, 0.3], [0.7, 0.3]]]))[0] == pytest.approx(0, abs=1e-12)


def test_the_measurement_of_the_polybox_that_tells_most_is_x() -> None:
    """Outside check: the polybox of de Kleer and Williams (1987), F measured 10 and G 12, single and double faults.

    Candidates M1 and A1 share the mass; X tells them apart, Y and Z tell next to nothing.
    """
    p, m = 0.01, 16
    single, double = p * (1 - p) ** 4, p * p * (1 - p) ** 3
    weights = np.array([single / m, single / m, double / m**2, double / m**2, 0.0])
    names = ["M1", "A1", "M2A2", "M2M3", "none"]
    prior = weights / weights.sum()
    expected = {"X": [None, 6, 6, 6], "Y": [6, 6, None, None], "Z": [6, 6, 6, None]}
    tables = []
    for values in expected.values():
        rows = [[1.0, 0.0] if value == 6 else [1 / m, 1 - 1 / m] for value in values]
        tables.append([*rows, [1.0, 0.0]])
    bits = information_bits(prior, options(tables))

    assert prior[names.index("M1")] == pytest.approx(prior[names.index("A1")])
    assert bits.argmax() == list(expected).index("X")
    assert bits[0] > 50 * max(bits[1], bits[2])


def test_bits_a_minute_decide_and_the_order_of_names_breaks_ties() -> None:
    four = options([TABLE, TABLE, TABLE])
    bits = information_bits(np.array([0.5, 0.3, 0.2]), four)

    choices = list(best_first(bits, [10.0, 2.0, 2.0], frozenset()))

    assert [it.place for it in choices] == [1, 2, 0]


def test_a_check_that_is_done_or_tells_nothing_is_not_offered() -> None:
    two = options([TABLE, [[0.7, 0.3]] * 3])
    bits = information_bits(np.array([0.5, 0.3, 0.2]), two)

    assert list(best_first(bits, [1.0, 1.0], frozenset({0}))) == []
