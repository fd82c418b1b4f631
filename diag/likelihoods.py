"""The numbers behind the words: how often each outcome of each check is seen under each cause."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from knowledge.entries import Check, Likelihood
from knowledge.load import Knowledge

SOMETHING_ELSE = "something-else"
AS_DESIGNED = "as-designed"
MISTAKEN_SHARE = 0.04
"""Of answers: the meter misread, the wrong part looked at; such an answer is taken to be any outcome alike."""
TRUST = 0.75
"""The power taken of what entries say: findings hang together more than their independence allows. Both are judgement,
checked against the calibration on virtual call-outs (`python -m tests.bench.ranking`)."""
HEALTHY_SHARE_OF_ELSE = 0.6
"""Under a cause nobody described most checks still look healthy; the rest of the chance is spread evenly."""

MOST_OUTCOMES = 6

Floats = NDArray[np.float64]

Shares = tuple[float, ...]
"""Chances of a check's outcomes in the order of its entry; they sum to one."""


@dataclass(frozen=True)
class OutcomeTables:
    """Chances of the outcomes of every check, as rows of one table, padded with zeros to the most outcomes.

    `healthy` and `unknown_cause` give the row of a check where nothing is wrong, and under a cause nobody described;
    `by_cause` lists, for each cause, its checks with their rows. `doubt` is the entropy of each row in bits.
    """

    rows: Floats
    doubt: Floats
    healthy: Mapping[str, int]
    unknown_cause: Mapping[str, int]
    by_cause: Mapping[str, tuple[tuple[str, int], ...]]

    def shares(self, row: int) -> Floats:
        """Return the chances of one row, padded."""
        shares: Floats = self.rows[row]
        return shares


def outcome_tables(knowledge: Knowledge) -> OutcomeTables:
    """Return the tables of a knowledge base."""
    numbers = knowledge.words.likelihood
    shares: list[Shares] = []
    healthy, unknown = {}, {}
    for check in knowledge.checks.values():
        healthy[check.id] = len(shares)
        shares.append(_scaled([numbers[it.healthy] for it in check.outcomes]))
        unknown[check.id] = len(shares)
        shares.append(_spread(shares[-1]))
    by_cause: dict[str, list[tuple[str, int]]] = {cause: [] for cause in knowledge.causes}
    for cause in knowledge.causes.values():
        for evidence in cause.checks:
            by_cause[cause.id].append((evidence.check, len(shares)))
            shares.append(_by_words(knowledge.checks[evidence.check], evidence.outcomes, numbers))
    rows = _padded(shares)
    listed = {cause: tuple(found) for cause, found in by_cause.items()}
    return OutcomeTables(rows, -plogp(rows).sum(axis=1), healthy, unknown, listed)


def plogp(chances: Floats) -> Floats:
    """Return p log2 p for every chance, and 0 for 0."""
    logs = np.log2(chances, out=np.zeros_like(chances), where=chances > 0)
    product: Floats = chances * logs
    return product


def _padded(shares: Sequence[Shares]) -> Floats:
    rows = np.zeros((len(shares), MOST_OUTCOMES))
    for place, row in enumerate(shares):
        rows[place, : len(row)] = row
    return rows


def _by_words(check: Check, words: Mapping[str, Likelihood], numbers: Mapping[Likelihood, float]) -> Shares:
    return _scaled([numbers[words.get(outcome.id, "never")] for outcome in check.outcomes])


def _scaled(weights: list[float]) -> Shares:
    trusted = [weight**TRUST for weight in weights]
    total, even = sum(trusted), MISTAKEN_SHARE / len(weights)
    return tuple((1.0 - MISTAKEN_SHARE) * weight / total + even for weight in trusted)


def _spread(healthy: Shares) -> Shares:
    even = (1.0 - HEALTHY_SHARE_OF_ELSE) / len(healthy)
    return tuple(HEALTHY_SHARE_OF_ELSE * share + even for share in healthy)
