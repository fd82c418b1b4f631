"""Score a ranking on virtual call-outs: first, first three, Brier score, and calibration by bins."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from diag.likelihoods import SOMETHING_ELSE
from diag.next_step import plan
from diag.ranking import order
from tests.bench.visits import Visit

BINS = 10


@dataclass(frozen=True)
class Scores:
    """Shares over call-outs; `error` is the expected calibration error over equal bins of what the leader was given."""

    first: float
    first_three: float
    brier: float
    error: float
    bins: tuple[tuple[float, float, int], ...]


@dataclass(frozen=True)
class Ranked:
    """One ranking: whether each of the first three is right, what the leader was given, and its Brier score."""

    hits: tuple[bool, ...]
    given: float
    brier: float


def note_ranks(found: dict[int, list[Ranked]], visit: Visit, after: Sequence[int]) -> None:
    """Add how the cause is ranked after so many answers to the checks that our plan names first."""
    for answers in range(max(after) + 1):
        if answers in after:
            found.setdefault(answers, []).append(ranked(visit))
        if not answer_next(visit):
            return


def answer_next(visit: Visit) -> bool:
    """Make the next check of our plan, passing over repairs; return False when no check is left."""
    it = plan(visit.reasoner, visit.reasoning(), visit.weight(), visit.place)
    check = next((one for one in (it.step, *it.otherwise) if one.kind == "check"), None)
    if check is None:
        return False
    visit.check(check.name, check.part)
    return True


def ranked(visit: Visit) -> Ranked:
    """Return how right the ranking is now; "something else" is right where no rule brought the cause up."""
    hypotheses, probabilities = visit.reasoning().hypotheses.open, visit.weight().probabilities
    right = [it.cause != SOMETHING_ELSE and visit.call_out.is_right(it.cause, it.part) for it in hypotheses]
    if not any(right):
        right = [it.cause == SOMETHING_ELSE for it in hypotheses]
    places = order(probabilities, [(it.cause, it.part) for it in hypotheses])
    # causes that come to the same repair count as one
    true_share = float(probabilities[np.array(right)].sum())
    others = float((probabilities[~np.array(right)] ** 2).sum())
    hits = tuple(right[it] for it in places[:3])
    return Ranked(hits, float(probabilities[places[0]]), (1.0 - true_share) ** 2 + others)


def summed_up(found: Sequence[Ranked]) -> Scores:
    """Return the shares over rankings."""
    bins = calibration([it.given for it in found], [it.hits[0] for it in found])
    return Scores(
        first=float(np.mean([it.hits[0] for it in found])),
        first_three=float(np.mean([any(it.hits) for it in found])),
        brier=float(np.mean([it.brier for it in found])),
        error=sum(count * abs(said - so) for said, so, count in bins) / len(found),
        bins=tuple(bins),
    )


def calibration(said: Sequence[float], so: Sequence[bool]) -> list[tuple[float, float, int]]:
    """Return, for each of ten equal bins closed on the right that is not empty: mean said, share so, and how many."""
    given, hits = np.array(said), np.array(so, dtype=float)
    place = np.clip(np.ceil(given * BINS).astype(int) - 1, 0, BINS - 1)
    return [
        (float(given[place == it].mean()), float(hits[place == it].mean()), int((place == it).sum()))
        for it in range(BINS)
        if (place == it).any()
    ]
