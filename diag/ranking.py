"""Weigh hypotheses by what was found: the posterior of Bayes over single faults."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from diag.likelihoods import Floats

DECIMALS = 9
"""Digits that count in an order, so that the last bits of a machine's arithmetic cannot change it."""


def posterior(weights: Sequence[float], seen: Sequence[Floats]) -> Floats:
    """Return the probability of each hypothesis.

    `weights` are positive and need not sum to one; each item of `seen` gives, for every hypothesis, the chance of
    one finding. Findings are independent once the hypothesis is known.
    """
    chances = np.array(weights, dtype=float)
    for chance in seen:
        chances = chances * chance
        chances = chances / chances.sum()
    result: Floats = chances / chances.sum()
    return result


def order(probabilities: Floats, names: Sequence[tuple[str, str]]) -> list[int]:
    """Return indices, most probable first; equal ones in order of name."""
    rounded = np.round(probabilities, DECIMALS)
    return sorted(range(len(names)), key=lambda place: (-rounded[place], names[place]))
