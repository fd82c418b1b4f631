"""Choose the next check: the one that tells most about the cause for the minutes it takes."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from diag.likelihoods import Floats, plogp
from diag.options import Options
from diag.ranking import DECIMALS

LEAST_BITS = 0.005
"""Checks that tell less than this are not worth offering."""


@dataclass(frozen=True, slots=True)
class Choice:
    """An open check by its index, what it tells in bits, and its minutes with walking."""

    place: int
    bits: float
    minutes: float


def information_bits(probabilities: Floats, options: Options) -> Floats:
    """Return, for each option, the expected fall of the entropy over hypotheses, in bits.

    This is the mutual information of outcome and hypothesis, the measure of de Kleer and Williams (1987) for
    choosing the next measurement.
    """
    outcomes = np.einsum("h,kho->ko", probabilities, options.chances)
    bits: Floats = -plogp(outcomes).sum(axis=1) - options.doubt @ probabilities
    return np.maximum(bits, 0.0)


def best_first(bits: Floats, minutes: Sequence[float], done: Collection[int]) -> Iterator[Choice]:
    """Yield the checks worth making, most bits a minute first; equal ones in the order of the options."""
    rates = np.round(bits / np.array(minutes), DECIMALS) if len(minutes) else bits
    told = bits.tolist()
    for place in np.argsort(-rates, kind="stable").tolist():
        if told[place] >= LEAST_BITS and place not in done:
            yield Choice(place, told[place], minutes[place])
