"""Gather what the rules derived into hypotheses: a cause at a part, its weight before any check, and why."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from diag.chapters import ANY_PART
from diag.likelihoods import AS_DESIGNED, SOMETHING_ELSE
from diag.observations import Observed
from diag.rules import UNKNOWN, Firing
from diag.scope import is_stand_in
from diag.topology import SITE_PART
from knowledge.entries import Likelihood, RuleEntry
from knowledge.load import Knowledge

REPAIRED_IN_VAIN = 0.001
"""What is left of a cause's weight when its repair did not help: repairs fail, and causes come in pairs."""

SUSPICION_POWER = 1.5
"""The power taken of what rules say of a cause: the words of entries for chances are set timidly, so that with no check
made the true cause was among the first three less often than they can tell. What circumstances shift is bold enough: a
power of it made leaders too sure. Judgement, chosen on some virtual call-outs and held on others
(`python -m tests.bench.ranking`)."""

Spot = tuple[str, str]
"""A cause and the part it is suspected at."""

Sight = tuple[str, str]
"""A symptom and the part it was placed on."""


@dataclass(frozen=True)
class Hypothesis:
    """One cause at one part with the weight it has before any check, and the firings behind it."""

    cause: str
    part: str
    weight: float
    firings: tuple[Firing, ...] = ()


@dataclass(frozen=True)
class Hypotheses:
    """What can be wrong, in a fixed order, and what the rules ruled out with the firing that did it."""

    open: tuple[Hypothesis, ...]
    excluded: Mapping[Spot, Firing]


def gather(
    firings: Sequence[Firing],
    knowledge: Knowledge,
    entries: Mapping[str, RuleEntry],
    seen: Sequence[tuple[Observed, Sequence[Observed]]],
    repaired: Iterable[Spot] = (),
) -> Hypotheses:
    """Return the hypotheses that the firings leave open.

    `entries` gives the rule entry by rule code; `seen` pairs each observed symptom with its placings.
    Weight = base rate, split over the parts suspected, times shifts, times a power of the chance of every symptom.
    """
    by_kind = defaultdict(list)
    for firing in firings:
        by_kind[firing.derived.kind].append(firing)
    suspected = _suspicions(by_kind["suspicion"])
    excluded = _excluded(by_kind["exclusion"], suspected)
    left = {spot: found for spot, found in suspected.items() if spot not in excluded}
    shifts = _shifts(by_kind["weight"], left)
    tried = set(repaired)
    counts: dict[str, int] = defaultdict(int)
    for cause, _ in left:
        counts[cause] += 1
    hypotheses = [
        Hypothesis(
            cause=spot[0],
            part=spot[1],
            weight=knowledge.causes[spot[0]].base_rate.per_thousand
            / counts[spot[0]]
            * _shift(shifts[spot], knowledge)
            * symptoms_chance(found, knowledge, entries, seen) ** SUSPICION_POWER
            * (REPAIRED_IN_VAIN if _was_tried(spot, tried) else 1.0),
            firings=(*found, *shifts[spot]),
        )
        for spot, found in sorted(left.items())
    ]
    unexplained = knowledge.words.unexplained ** (SUSPICION_POWER * max(len(seen), 1))
    designed = unexplained * (REPAIRED_IN_VAIN if (AS_DESIGNED, SITE_PART) in tried else 1.0)
    return Hypotheses(tuple(_with_the_rest(hypotheses, knowledge, designed)), excluded)


def _was_tried(spot: Spot, tried: Collection[Spot]) -> bool:
    """Say whether a repair was tried; one tried at no named part counts for every stand-in of the cause."""
    return spot in tried or ((spot[0], SITE_PART) in tried and is_stand_in(spot[1]))


def _suspicions(firings: Iterable[Firing]) -> dict[Spot, list[Firing]]:
    found: dict[Spot, list[Firing]] = defaultdict(list)
    for firing in firings:
        spot = _spot(firing)
        if spot[1] != UNKNOWN:
            found[spot].append(firing)
    return found


def _spot(firing: Firing) -> Spot:
    said = dict(firing.derived.fields)
    return str(said["cause"]), str(said["part"])


def _excluded(firings: Iterable[Firing], suspected: Iterable[Spot]) -> dict[Spot, Firing]:
    by_spot = {_spot(firing): firing for firing in firings}
    excluded = {spot: by_spot.get(spot) or by_spot.get((spot[0], ANY_PART)) for spot in suspected}
    return {spot: firing for spot, firing in excluded.items() if firing}


def _shifts(firings: Iterable[Firing], left: Iterable[Spot]) -> dict[Spot, list[Firing]]:
    by_spot: dict[Spot, list[Firing]] = defaultdict(list)
    for firing in firings:
        by_spot[_spot(firing)].append(firing)
    return {spot: by_spot[spot] + by_spot[(spot[0], ANY_PART)] for spot in left}


def _shift(firings: Iterable[Firing], knowledge: Knowledge) -> float:
    shift = 1.0
    for by in sorted({(firing.rule, str(firing.derived["by"])) for firing in firings}):
        shift *= knowledge.words.shift[by[1]]  # type: ignore[index]
    return shift


def symptoms_chance(
    found: Sequence[Firing],
    knowledge: Knowledge,
    entries: Mapping[str, RuleEntry],
    seen: Sequence[tuple[Observed, Sequence[Observed]]],
) -> float:
    """Return the chance of all that was noticed under one cause, or several, by what was fired for them."""
    words = knowledge.words
    by_sight: dict[Sight, float] = defaultdict(float)
    for firing in found:
        said = dict(firing.derived.fields)
        sight = str(said["symptom"]), str(said["about"])
        word: Likelihood | None = entries[firing.rule].suspect
        by_sight[sight] = max(by_sight[sight], words.likelihood[word] if word else 0.0)
    chance = 1.0
    for _, placings in seen:
        best = max((by_sight[(it.symptom, it.part or SITE_PART)] for it in placings), default=0.0)
        chance *= best or words.unexplained
    return chance


def _with_the_rest(hypotheses: list[Hypothesis], knowledge: Knowledge, designed: float) -> list[Hypothesis]:
    """Add "works as designed" where no rule did, with that share of its rate, and "something else" with its share."""
    if not any(it.cause == AS_DESIGNED for it in hypotheses) and AS_DESIGNED in knowledge.causes:
        chance = knowledge.causes[AS_DESIGNED].base_rate.per_thousand * designed
        hypotheses = [*hypotheses, Hypothesis(AS_DESIGNED, SITE_PART, chance)]
    share = knowledge.words.something_else
    total = sum(it.weight for it in hypotheses) or 1.0
    rest = Hypothesis(SOMETHING_ELSE, SITE_PART, total * share / (1.0 - share))
    return sorted([*hypotheses, rest], key=lambda it: (it.cause, it.part))
