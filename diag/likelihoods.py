"""The numbers behind the words: how often each outcome of each check is seen under each cause."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from knowledge.entries import Check, Likelihood
from knowledge.load import Knowledge

SOMETHING_ELSE = "something-else"
AS_DESIGNED = "as-designed"
HEALTHY_SHARE_OF_ELSE = 0.6
"""Under a cause nobody described most checks still look healthy; the rest of the chance is spread evenly."""

Shares = tuple[float, ...]
"""Chances of a check's outcomes in the order of its entry; they sum to one."""


@dataclass(frozen=True)
class OutcomeTables:
    """Chances of the outcomes of every check: where nothing is wrong, for an unknown cause, and by cause."""

    healthy: Mapping[str, Shares]
    unknown_cause: Mapping[str, Shares]
    by_cause: Mapping[tuple[str, str], Shares]
    """By cause and check."""


def outcome_tables(knowledge: Knowledge) -> OutcomeTables:
    """Return the tables of a knowledge base."""
    numbers = knowledge.words.likelihood
    healthy = {check.id: _scaled([numbers[it.healthy] for it in check.outcomes]) for check in knowledge.checks.values()}
    return OutcomeTables(
        healthy=healthy,
        unknown_cause={check: _spread(shares) for check, shares in healthy.items()},
        by_cause={
            (cause.id, evidence.check): _by_words(knowledge.checks[evidence.check], evidence.outcomes, numbers)
            for cause in knowledge.causes.values()
            for evidence in cause.checks
        },
    )


def _by_words(check: Check, words: Mapping[str, Likelihood], numbers: Mapping[Likelihood, float]) -> Shares:
    return _scaled([numbers[words.get(outcome.id, "never")] for outcome in check.outcomes])


def _scaled(weights: list[float]) -> Shares:
    total = sum(weights)
    return tuple(weight / total for weight in weights)


def _spread(healthy: Shares) -> Shares:
    even = (1.0 - HEALTHY_SHARE_OF_ELSE) / len(healthy)
    return tuple(HEALTHY_SHARE_OF_ELSE * share + even for share in healthy)
