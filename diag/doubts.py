"""Name answers that hardly fit everything else that was found, so that they are looked at again, not swallowed."""

from __future__ import annotations

from dataclasses import dataclass

from diag.observations import Finding
from diag.reasoner import Reasoner
from diag.weighing import Weighed, Weight

DOUBTFUL_FROM = 0.3
"""From this chance of being a mistake on an answer is named."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """An answer, the part it was about, and the chance that it is a mistake."""

    finding: Finding
    part: str
    chance: float


def doubts(reasoner: Reasoner, weight: Weight) -> tuple[Doubt, ...]:
    """Return the doubtful answers, the most doubtful first.

    A share of all answers is mistaken and then any outcome alike; by Bayes, the chance that this one is such a mistake
    is that share over the chance of the answer given all the others.
    """
    found = [Doubt(it.finding, it.part, _mistake_chance(reasoner, weight, it)) for it in weight.weighed]
    return tuple(sorted((it for it in found if it.chance >= DOUBTFUL_FROM), key=lambda it: -it.chance))


def _mistake_chance(reasoner: Reasoner, weight: Weight, it: Weighed) -> float:
    place = [one.id for one in reasoner.knowledge.checks[it.finding.check].outcomes].index(it.finding.outcome)
    shares = reasoner.tables.mistaken[it.finding.check]
    unsure = (1.0 - it.finding.certainty) / len(shares)
    return (it.finding.certainty * shares[place] + unsure) / chance_by_the_others(weight, it)


def chance_by_the_others(weight: Weight, it: Weighed) -> float:
    """Return the chance of one answer given all the other answers: its own effect is taken out of the posterior."""
    return float(1.0 / (weight.probabilities / it.chances).sum())
