"""Join what the patterns say with what was learnt from phrases, into the chance of each symptom and of none."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

from diag.words.trained import NOTHING

PATTERN_SHARE = 1.0
"""How much a full score of the patterns adds to the logarithm of a chance. Chosen on phrases kept out of training."""
KNOWN_PHRASE = 0.7
"""From this likeness on a text counts as a phrase of the knowledge base, so that what authors add takes effect."""
KNOWN_SHARE = 16.0
"""How much full likeness above that adds."""
SURE_OF_UNTRAINED = 1.0
"""A symptom that training knows nothing of leads when the patterns and phrases score it at least so much."""
CLAUSES_SHARE = 0.35
"""How much the clauses, each read alone, count beside the whole text. Chosen on phrases kept out of training."""
FALL_OF_UNTRAINED = 6.0
"""How much its logarithm falls for each score less."""


def join_chances(
    evidence: Mapping[str, float],
    scores: Mapping[str, float],
    alike: Mapping[str, float],
    symptoms: Iterable[str],
    strangeness: float = 0.0,
) -> dict[str, float]:
    """Return the chance of every symptom and of `NOTHING`, adding up to one.

    `evidence` holds logarithms from training, `scores` what patterns and phrases say from 0 to about 1.3, `alike`
    the likeness to phrases from 0 to 1, `strangeness` is added to the logarithm of `NOTHING`. Without evidence nothing
    was said, and there is no chance of anything.
    """
    if not evidence:
        return {}
    surest = max(evidence.values())
    logs = {symptom: _log(symptom, evidence, scores, surest) + _known(symptom, alike) for symptom in symptoms}
    logs[NOTHING] = evidence[NOTHING] + strangeness
    top = max(logs.values())
    raised = {meaning: math.exp(log - top) for meaning, log in logs.items()}
    total = sum(raised.values())
    return {meaning: chance / total for meaning, chance in raised.items()}


def with_clauses(chances: Mapping[str, float], clauses: Sequence[Mapping[str, float]]) -> dict[str, float]:
    """Return the chances of a whole text with a share for each clause, so that a symptom of either is near the front.

    What each clause means counts as if it meant something; whether the text means anything is for the whole to say.
    """
    alone = [without_nothing(clause) for clause in clauses if clause]
    if len(alone) < 2 or not chances:
        return dict(chances)
    some = 1.0 - chances[NOTHING]
    joined = {
        symptom: (1 - CLAUSES_SHARE) * chance
        + CLAUSES_SHARE * some * sum(clause.get(symptom, 0.0) for clause in alone) / len(alone)
        for symptom, chance in chances.items()
        if symptom != NOTHING
    }
    return {**joined, NOTHING: chances[NOTHING]}


def _log(symptom: str, evidence: Mapping[str, float], scores: Mapping[str, float], surest: float) -> float:
    score = scores.get(symptom, 0.0)
    if symptom in evidence:
        return evidence[symptom] + PATTERN_SHARE * score
    return surest + FALL_OF_UNTRAINED * (score - SURE_OF_UNTRAINED)


def _known(symptom: str, alike: Mapping[str, float]) -> float:
    return KNOWN_SHARE * max(0.0, alike.get(symptom, 0.0) - KNOWN_PHRASE)


def without_nothing(chances: Mapping[str, float]) -> dict[str, float]:
    """Return the chance of each symptom, given that there is one."""
    some = 1.0 - chances.get(NOTHING, 0.0)
    return {symptom: chance / some for symptom, chance in chances.items() if symptom != NOTHING and some > 0}
