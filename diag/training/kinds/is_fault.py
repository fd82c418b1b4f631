"""Ask whether something is a fault at all, or works as designed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from random import Random

from diag.likelihoods import AS_DESIGNED
from diag.observations import Finding
from diag.ranking import posterior
from diag.training.draft import FEWEST_WRONG, Draft, Refused
from diag.training.giveaways import discreet, report_gives_away
from diag.training.item import Choice, Item, Level, Reference
from diag.training.kinds.likeliest_cause import overlaps, reasons_for, speaks_against
from diag.training.scenarios import Scene, by_cause, draw_scene, reopened, telling_findings, weight_of
from diag.training.suspicion import symptoms_of
from diag.training.telling import keep_case, tell_case
from diag.training.workshop import Workshop
from diag.weighing import Weight
from knowledge.entries import Cause

SURE: Mapping[Level, float] = {1: 0.85, 2: 0.75, 3: 0.65}
"""How likely the right answer must be."""

LEAST_RATIO: Mapping[Level, float] = {1: 10.0, 2: 6.0, 3: 4.0}
MOST_FINDINGS = 6
CHOSEN_FROM = 5
FITS_BETTER = 5.0
"""How many times more the findings must raise the right answer than a wrong one that tells nothing of them."""

MOST_RIVALS, MOST_TOLD = 8, 3
"""Findings of checks that so many of the likeliest rivals tell outcomes of come first: only these rule them out."""

DESIGNED_SHARE = 0.6
"""How often a designed behaviour is meant; its questions fail more often to come out than those of faults."""


def draft_is_fault(workshop: Workshop, rng: Random, level: Level, topic: str | None) -> Draft:
    """Return a question on fault or no fault; raise Refused."""
    scene = _drawn(workshop, rng, topic)
    scene = _made_clear(workshop, scene, level, rng)
    weight = weight_of(scene, workshop)
    shares = by_cause(scene, weight.probabilities)
    reasons = reasons_for(workshop, scene, weight)
    wrong = _wrong(workshop, scene, weight, shares, level)
    return Draft(
        kind="is-fault",
        topic=topic or workshop.cause(scene.cause).family,
        stem=tell_case(workshop, scene.case),
        lead_in=workshop.phrases.say("is-fault"),
        key=_choice(workshop, workshop.cause(scene.cause), reasons),
        wrong=wrong,
        fits=_mix(workshop, workshop.cause(scene.cause).as_designed, rng.choice((1, 2))),
        explanation=reasons,
        references=(Reference("causes", scene.cause),),
        evidence={**keep_case(scene.case), "ratio": LEAST_RATIO[level]},
    )


def _mix(workshop: Workshop, is_key_designed: bool, of_three: int) -> Callable[[Sequence[Choice]], bool]:
    """Return whether wrong answers make the mix of verdicts: two of four, or of three so many by chance.

    The mix is drawn without looking at the right answer, so that counting verdicts gains nothing.
    """

    def fits(wrong: Sequence[Choice]) -> bool:
        designed = is_key_designed + sum(workshop.cause(it.id).as_designed for it in wrong)
        return designed == (of_three if len(wrong) == FEWEST_WRONG else 2)

    return fits


def _drawn(workshop: Workshop, rng: Random, topic: str | None) -> Scene:
    """Return a call-out in which a designed behaviour is suspected beside faults."""
    causes = list(workshop.knowledge.causes.values())
    every = [it for it in causes if it.as_designed]
    looks_designed = {symptom.id for it in every for symptom in symptoms_of(workshop, it)}
    designed = [it for it in every if it.id != AS_DESIGNED and topic in (None, it.family)]
    faults = [it for it in causes if not it.as_designed and topic in (None, it.family)]
    alike = [it for it in faults if looks_designed & {symptom.id for symptom in symptoms_of(workshop, it)}]
    chosen = designed if designed and (rng.random() < DESIGNED_SHARE or not alike) else alike
    scene = draw_scene(workshop, rng, chosen, looks_designed)
    if scene is None or not _has_both(workshop, scene):
        raise Refused("nothing designed looks like this")
    if report_gives_away(workshop, scene):
        raise Refused("the report names the cause")
    return scene


def _has_both(workshop: Workshop, scene: Scene) -> bool:
    """Return whether faults and designed behaviour are suspected beside the cause: one verdict alone gives it away."""
    others = [it for it in _suspected(scene) if it != scene.cause and not overlaps(workshop, it, scene.cause)]
    designed = sum(workshop.cause(it).as_designed for it in others)
    return 0 < designed < len(others) or (designed > 0 and not workshop.cause(scene.cause).as_designed)


def _suspected(scene: Scene) -> list[str]:
    return list(by_cause(scene, posterior([it.weight for it in scene.hypotheses], ())))


def _made_clear(workshop: Workshop, scene: Scene, level: Level, rng: Random) -> Scene:
    for _ in range(MOST_FINDINGS):
        shares = by_cause(scene, weight_of(scene, workshop).probabilities)
        leads = next(iter(shares)) == scene.cause and shares[scene.cause] >= SURE[level]
        if leads and scene.case.findings and _can_be_asked(workshop, scene, shares, level):
            return scene
        found = _next_finding(workshop, scene, level, rng)
        if found is None:
            break
        scene = scene.told(found)
    raise Refused("the findings leave too much in doubt")


def _can_be_asked(workshop: Workshop, scene: Scene, shares: Mapping[str, float], level: Level) -> bool:
    """Return whether enough is ruled out by now, of both verdicts."""
    try:
        return len(_wrong(workshop, scene, weight_of(scene, workshop), shares, level)) >= FEWEST_WRONG
    except Refused:
        return False


def _next_finding(workshop: Workshop, scene: Scene, level: Level, rng: Random) -> Finding | None:
    told = discreet(workshop, scene, telling_findings(workshop, scene, decisive_too=level < 3))
    rivals = [it for it in _suspected(scene) if it != scene.cause][:MOST_RIVALS]
    told_of = Counter(it.check for rival in rivals for it in workshop.cause(rival).checks)
    told.sort(key=lambda it: -min(told_of[it.check], MOST_TOLD))
    return rng.choice(told[:CHOSEN_FROM]) if told else None


def _wrong(
    workshop: Workshop, scene: Scene, weight: Weight, shares: Mapping[str, float], level: Level
) -> tuple[Choice, ...]:
    """Return wrong answers of both kinds in turn, so that the verdict alone does not give the answer away."""
    key = scene.cause
    others = [it for it in _suspected(scene) if it != key and not overlaps(workshop, it, key)]
    ruled = [it for it in others if shares[it] * LEAST_RATIO[level] <= shares[key]]
    said = {it: speaks_against(workshop, scene, weight, key, it) or fits_better(scene, weight, key, it) for it in ruled}
    proved = [workshop.cause(it) for it in ruled if said[it]]
    is_key_designed = workshop.cause(key).as_designed
    alike = [it for it in proved if it.as_designed == is_key_designed]
    other = [it for it in proved if it.as_designed != is_key_designed]
    if not other:
        raise Refused("one verdict would be the only one")
    turns = [*other[:1], *alike[:1], *other[1:], *alike[1:]]
    return tuple(_choice(workshop, it, workshop.phrases.english("why", said[it.id] or "")) for it in turns)


def fits_better(scene: Scene, weight: Weight, key: str, cause: str) -> str | None:
    """Return that another cause fits better, where the findings together say so many times as much for it."""
    shares = by_cause(scene, weight.probabilities)
    before = by_cause(scene, posterior([it.weight for it in scene.hypotheses], ()))
    gained = (shares[key] / before[key]) / max(shares[cause] / before[cause], 1e-12)
    return "What was found fits another of these far better." if gained >= FITS_BETTER else None


def _choice(workshop: Workshop, cause: Cause, why: str) -> Choice:
    verdict = "no-fault" if cause.as_designed else "fault"
    return Choice(cause.id, workshop.phrases.say(verdict, name=workshop.phrases.cause(cause.id)), why)


def prove_is_fault(workshop: Workshop, item: Item) -> Iterator[str]:
    """Yield what keeps the item from being right when the rules run again on what its stem says."""
    scene = reopened(workshop, item.evidence)
    shares = by_cause(scene, weight_of(scene, workshop).probabilities)
    key, ratio = item.answer[0], float(str(item.evidence["ratio"]))
    yield from (f"{it} leads" for it in list(shares)[:1] if it != key)
    yield from (f"{it.id} is too likely" for it in item.wrong if shares.get(it.id, 0.0) * ratio > shares[key] + 1e-9)
