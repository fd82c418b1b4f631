"""Two faults at once: which pairs of causes explain what no single one does.

A pair comes up where each answer and each symptom fits one of the two, that is, where the two form a minimal hitting
set of what can explain each finding.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from diag.hitting_sets import minimal_hitting_sets
from diag.hypotheses import SUSPICION_POWER, Hypothesis, symptoms_chance
from diag.likelihoods import AS_DESIGNED, SOMETHING_ELSE, Floats
from diag.reasoner import Reasoner
from diag.reasoning import Reasoning, Seen
from diag.weighing import Weighed, Weight

SECOND_FAULT_SHARE = 0.08
"""Of call-outs with a second fault that matters to them; judgement."""
EXPLAINS_FROM = 0.25
"""A cause explains an answer whose chance under it is at least this share of the greatest under any cause."""
LEAST_PROBABILITY = 0.02
MOST_CONSIDERED = 40


@dataclass(frozen=True, slots=True)
class Pair:
    """Two hypotheses by their places, and the probability that both are so, with single causes in the comparison."""

    first: int
    second: int
    probability: float


def plausible_pairs(reasoner: Reasoner, reasoning: Reasoning, weight: Weight) -> tuple[Pair, ...]:
    """Return the pairs worth naming, the most probable first; none where one cause explains everything."""
    explained = _explained(reasoner, reasoning, weight)
    spots = minimal_hitting_sets(explained, most=2)
    if not explained or not spots or len(spots[0]) < 2:
        return ()
    places = [(int(one), int(other)) for one, other in (sorted(it, key=int) for it in spots if len(it) == 2)]
    shares = [_share(reasoner, reasoning, weight, *it) for it in places]
    total = sum(shares) + _single_share(reasoning, weight)
    pairs = [Pair(*it, share / total) for it, share in zip(places, shares, strict=True)]
    named = [it for it in pairs if it.probability >= LEAST_PROBABILITY]
    return tuple(sorted(named, key=lambda it: (-round(it.probability, 9), it.first, it.second)))


def _explained(reasoner: Reasoner, reasoning: Reasoning, weight: Weight) -> list[frozenset[str]]:
    """Return, for each answer and each symptom, the hypotheses that explain it."""
    known = _known_places(reasoning, weight)
    by_answer = [frozenset(str(at) for at in known if _fits(it.chances, at)) for it in weight.weighed]
    by_symptom = [
        frozenset(str(at) for at in known if _shows(reasoner, reasoning, at, place))
        for place in range(len(reasoning.seen))
    ]
    return [it for it in (*by_answer, *by_symptom) if it]


def _known_places(reasoning: Reasoning, weight: Weight) -> list[int]:
    """Return the hypotheses considered: those that some answer or symptom speaks for most."""
    places = [at for at, it in enumerate(reasoning.hypotheses.open) if it.cause not in (SOMETHING_ELSE, AS_DESIGNED)]
    best = np.maximum.reduce([weight.probabilities, *(_alone(reasoning, it.chances) for it in weight.weighed)])
    return sorted(sorted(places, key=lambda at: (-best[at], at))[:MOST_CONSIDERED])


def _alone(reasoning: Reasoning, chances: Floats) -> Floats:
    """Return the posterior after one answer alone."""
    weights = np.array([it.weight for it in reasoning.hypotheses.open]) * chances
    result: Floats = weights / weights.sum()
    return result


def _fits(chances: Floats, at: int) -> bool:
    return bool(chances[at] >= EXPLAINS_FROM * chances.max())


def _shows(reasoner: Reasoner, reasoning: Reasoning, at: int, symptom: int) -> bool:
    chance = _seen_chance(reasoner, (reasoning.hypotheses.open[at],), reasoning.seen[symptom : symptom + 1])
    return chance > reasoner.knowledge.words.unexplained


def _seen_chance(reasoner: Reasoner, present: Sequence[Hypothesis], seen: Seen) -> float:
    firings = [firing for it in present for firing in it.firings if firing.derived.kind == "suspicion"]
    return symptoms_chance(firings, reasoner.knowledge, reasoner.entries, seen)


def _share(reasoner: Reasoner, reasoning: Reasoning, weight: Weight, one: int, other: int) -> float:
    """Return the weight of a pair beside that of single causes: rarer by a second fault, but explaining more."""
    first, second = (reasoning.hypotheses.open[it] for it in (one, other))
    rates = _before_symptoms(reasoner, reasoning, first) * _before_symptoms(reasoner, reasoning, second) / 1000.0
    share = SECOND_FAULT_SHARE * 2.0 * rates
    share *= float(_seen_chance(reasoner, (first, second), reasoning.seen) ** SUSPICION_POWER)
    for it in weight.weighed:
        share *= _together(reasoner, it, one, other)
    return share


def _before_symptoms(reasoner: Reasoner, reasoning: Reasoning, it: Hypothesis) -> float:
    """Return the weight of a hypothesis without the chance of its symptoms, per thousand."""
    return it.weight / float(_seen_chance(reasoner, (it,), reasoning.seen) ** SUSPICION_POWER)


def _together(reasoner: Reasoner, it: Weighed, one: int, other: int) -> float:
    """Return the chance of an answer with two causes present: that of the one that changes it, or between the two."""
    place = [outcome.id for outcome in reasoner.knowledge.checks[it.finding.check].outcomes].index(it.finding.outcome)
    healthy = float(reasoner.tables.shares(reasoner.tables.healthy[it.finding.check])[place])
    changed = [float(it.chances[at]) for at in (one, other) if abs(it.chances[at] - healthy) > 1e-12]
    return sum(changed) / len(changed) if changed else float(it.chances[one])


def _single_share(reasoning: Reasoning, weight: Weight) -> float:
    shares = np.array([it.weight for it in reasoning.hypotheses.open])
    for it in weight.weighed:
        shares = shares * it.chances
    return float(shares.sum())
