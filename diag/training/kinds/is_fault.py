"""Ask whether something is a fault at all, or works as designed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from random import Random

from diag.observations import Finding
from diag.ranking import posterior
from diag.training.draft import Draft, Refused
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
MOST_FINDINGS = 4
CHOSEN_FROM = 4
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
    is_designed = workshop.cause(scene.cause).as_designed
    return Draft(
        kind="is-fault",
        topic=topic or workshop.cause(scene.cause).family,
        stem=tell_case(workshop, scene.case),
        lead_in=workshop.phrases.say("is-fault"),
        key=_choice(workshop, workshop.cause(scene.cause), reasons),
        wrong=wrong,
        one_of=frozenset(it.id for it in wrong if workshop.cause(it.id).as_designed != is_designed),
        explanation=reasons,
        references=(Reference("causes", scene.cause),),
        evidence={**keep_case(scene.case), "ratio": LEAST_RATIO[level]},
    )


def _drawn(workshop: Workshop, rng: Random, topic: str | None) -> Scene:
    """Return a call-out in which a designed behaviour is suspected beside faults."""
    causes = list(workshop.knowledge.causes.values())
    designed = [it for it in causes if it.as_designed]
    looks_designed = {symptom.id for it in designed for symptom in symptoms_of(workshop, it)}
    faults = [it for it in causes if not it.as_designed and topic in (None, it.family)]
    alike = [it for it in faults if looks_designed & {symptom.id for symptom in symptoms_of(workshop, it)}]
    chosen = designed if rng.random() < DESIGNED_SHARE or not alike else alike
    scene = draw_scene(workshop, rng, chosen, looks_designed)
    if scene is None or not any(workshop.cause(it).as_designed for it in _suspected(scene)):
        raise Refused("nothing designed looks like this")
    return scene


def _suspected(scene: Scene) -> list[str]:
    return list(by_cause(scene, posterior([it.weight for it in scene.hypotheses], ())))


def _made_clear(workshop: Workshop, scene: Scene, level: Level, rng: Random) -> Scene:
    for _ in range(MOST_FINDINGS):
        shares = by_cause(scene, weight_of(scene, workshop).probabilities)
        leads = next(iter(shares)) == scene.cause and shares[scene.cause] >= SURE[level]
        if leads and scene.case.findings:
            return scene
        found = _next_finding(workshop, scene, rng)
        if found is None:
            break
        scene = scene.told(found)
    raise Refused("the findings leave too much in doubt")


def _next_finding(workshop: Workshop, scene: Scene, rng: Random) -> Finding | None:
    told = telling_findings(workshop, scene, decisive_too=True)[:CHOSEN_FROM]
    return rng.choice(told) if told else None


def _wrong(
    workshop: Workshop, scene: Scene, weight: Weight, shares: Mapping[str, float], level: Level
) -> tuple[Choice, ...]:
    """Return wrong answers of both kinds in turn, so that the verdict alone does not give the answer away."""
    key = scene.cause
    others = [it for it in _suspected(scene) if it != key and not overlaps(workshop, it, key)]
    ruled = [it for it in others if shares[it] * LEAST_RATIO[level] <= shares[key]]
    said = {it: speaks_against(workshop, scene, weight, key, it) for it in ruled}
    proved = [workshop.cause(it) for it in ruled if said[it]]
    is_key_designed = workshop.cause(key).as_designed
    alike = [it for it in proved if it.as_designed == is_key_designed]
    other = [it for it in proved if it.as_designed != is_key_designed]
    if not other:
        raise Refused("one verdict would be the only one")
    turns = [*other[:1], *alike[:1], *other[1:], *alike[1:]]
    return tuple(_choice(workshop, it, workshop.phrases.english("why", said[it.id] or "")) for it in turns)


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
