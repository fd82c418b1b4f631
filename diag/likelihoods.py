"""The numbers behind the words: how often each outcome of each check is seen under each cause."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from knowledge.entries import Check, CheckEvidence, Likelihood
from knowledge.load import Knowledge

SOMETHING_ELSE = "something-else"
AS_DESIGNED = "as-designed"
MISTAKEN_SHARE = 0.04
"""Of answers: the meter misread, the wrong part looked at; such an answer is taken to be any outcome alike."""
TRUST = 0.85
"""The power taken of what entries say: findings hang together more than their independence allows. All four are
judgement, checked against the calibration on virtual call-outs (`python -m tests.bench.ranking`)."""
DECISIVE_MISTAKEN_SHARE = 0.01
DECISIVE_TRUST = 1.0
"""The same for outcomes that confirm a cause by themselves: who saw the broken part itself is seldom wrong."""
HEALTHY_SHARE_OF_ELSE = 0.6
"""Under a cause nobody described most checks still look healthy; the rest of the chance is spread over the outcomes."""
CONFIRMING_SHARE_OF_ELSE = 0.1
"""How much of that an outcome gets, beside others, that confirms a described cause by itself; judgement."""

MOST_OUTCOMES = 6

Floats = NDArray[np.float64]

Shares = tuple[float, ...]
"""Chances of a check's outcomes in the order of its entry; they sum to one."""


@dataclass(frozen=True)
class OutcomeTables:
    """Chances of the outcomes of every check, as rows of one table, padded with zeros to the most outcomes.

    `healthy` and `unknown_cause` give the row of a check where nothing is wrong, and under a cause nobody described;
    `by_cause` lists, for each cause, its checks with their rows; `confirming` its decisive checks with the outcomes
    that confirm it. `mistaken` gives, by check, the chance of each outcome being seen by mistake. `doubt` is the
    entropy of each row in bits.
    """

    rows: Floats
    doubt: Floats
    healthy: Mapping[str, int]
    unknown_cause: Mapping[str, int]
    by_cause: Mapping[str, tuple[tuple[str, int], ...]]
    confirming: Mapping[str, Mapping[str, tuple[str, ...]]]
    mistaken: Mapping[str, Shares]

    def shares(self, row: int) -> Floats:
        """Return the chances of one row, padded."""
        shares: Floats = self.rows[row]
        return shares


def outcome_tables(knowledge: Knowledge) -> OutcomeTables:
    """Return the tables of a knowledge base."""
    numbers, scales = knowledge.words.likelihood, _scales(knowledge)
    shares: list[Shares] = []
    healthy, unknown = {}, {}
    for check in knowledge.checks.values():
        healthy[check.id] = len(shares)
        shares.append(scales[check.id].shares([numbers[it.healthy] for it in check.outcomes]))
        unknown[check.id] = len(shares)
        shares.append(scales[check.id].spread(shares[-1]))
    by_cause: dict[str, list[tuple[str, int]]] = {cause: [] for cause in knowledge.causes}
    for cause in knowledge.causes.values():
        for evidence in cause.checks:
            by_cause[cause.id].append((evidence.check, len(shares)))
            words = _in_order(knowledge.checks[evidence.check], evidence.outcomes)
            shares.append(scales[evidence.check].shares([numbers[it] for it in words]))
    rows = _padded(shares)
    listed = {cause: tuple(found) for cause, found in by_cause.items()}
    mistaken = {check: scale.mistaken for check, scale in scales.items()}
    doubt = -plogp(rows).sum(axis=1)
    return OutcomeTables(rows, doubt, healthy, unknown, listed, decisive_outcomes(knowledge), mistaken)


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


def decisive_outcomes(knowledge: Knowledge) -> Mapping[str, Mapping[str, tuple[str, ...]]]:
    """Return, for each cause, its decisive checks with the outcomes of each that confirm it: the likeliest."""
    return {
        cause.id: {it.check: _likeliest(knowledge, it) for it in cause.checks if it.decisive}
        for cause in knowledge.causes.values()
    }


def _likeliest(knowledge: Knowledge, evidence: CheckEvidence) -> tuple[str, ...]:
    numbers = knowledge.words.likelihood
    most = max(numbers[it] for it in evidence.outcomes.values())
    return tuple(outcome for outcome, it in evidence.outcomes.items() if numbers[it] == most)


def _in_order(check: Check, words: Mapping[str, Likelihood]) -> list[Likelihood]:
    return [words.get(outcome.id, "never") for outcome in check.outcomes]


@dataclass(frozen=True)
class _Scale:
    """How far each outcome of one check is trusted: its power, and its part of the mistaken answers.

    `odd` is its part of what is seen under a cause nobody described where the check does not look healthy.
    """

    powers: Shares
    mistaken: Shares
    odd: Shares

    def shares(self, weights: Sequence[float]) -> Shares:
        """Return the chances of outcomes with these weights in the entries."""
        trusted = [weight**power for weight, power in zip(weights, self.powers, strict=True)]
        right = (1.0 - sum(self.mistaken)) / sum(trusted)
        return tuple(right * weight + even for weight, even in zip(trusted, self.mistaken, strict=True))

    def spread(self, healthy: Shares) -> Shares:
        """Return the chances of the outcomes under a cause nobody described."""
        rest = 1.0 - HEALTHY_SHARE_OF_ELSE
        return tuple(HEALTHY_SHARE_OF_ELSE * it + rest * odd for it, odd in zip(healthy, self.odd, strict=True))


def _scales(knowledge: Knowledge) -> Mapping[str, _Scale]:
    by_cause = decisive_outcomes(knowledge).values()
    decisive = {(check, it) for found in by_cause for check, outcomes in found.items() for it in outcomes}
    return {check.id: _scale(check, decisive) for check in knowledge.checks.values()}


def _scale(check: Check, decisive: Collection[tuple[str, str]]) -> _Scale:
    confirms = [(check.id, outcome.id) in decisive for outcome in check.outcomes]
    powers = tuple(DECISIVE_TRUST if it else TRUST for it in confirms)
    shares = (DECISIVE_MISTAKEN_SHARE if it else MISTAKEN_SHARE for it in confirms)
    odd = [CONFIRMING_SHARE_OF_ELSE if it else 1.0 for it in confirms]
    return _Scale(powers, tuple(share / len(confirms) for share in shares), tuple(it / sum(odd) for it in odd))
