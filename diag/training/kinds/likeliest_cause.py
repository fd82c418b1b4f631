"""Ask for the likeliest cause, given what was reported and found at this site."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from random import Random

from diag.explain import explain_firing
from diag.likelihoods import AS_DESIGNED, Floats
from diag.observations import Finding
from diag.ranking import posterior
from diag.training.draft import Draft, Refused
from diag.training.giveaways import discreet, report_gives_away
from diag.training.item import Choice, Item, Level, Reference
from diag.training.scenarios import Scene, by_cause, draw_scene, reopened, telling_findings, weight_of
from diag.training.telling import keep_case, tell_case, tell_finding
from diag.training.workshop import Workshop
from diag.weighing import Weight
from knowledge.entries import Cause

LEAST_SHARE: Mapping[Level, float] = {1: 0.80, 2: 0.65, 3: 0.50}
"""How likely the right cause must be."""

LEAST_RATIO: Mapping[Level, float] = {1: 10.0, 2: 5.0, 3: 3.0}
"""How many times likelier it must be than each wrong one."""

SPEAKS_AGAINST = 3.0
"""A finding speaks against a wrong cause when the right one shows it this many times as often."""

CHOSEN_FROM: Mapping[Level, int] = {1: 3, 2: 4, 3: 6}
"""From how many of the most telling findings the next one is drawn: at higher levels they tell less each."""

TOLD_FROM = 1.3
"""How many times as often as expected the true cause must show a finding that explains the answer."""

ALIKE = (frozenset({"switch-common-open", "input-wire-open"}),)
"""Causes of which one is a case of the other: both would be right."""

FOR = frozenset({"suspected", "stronger", "much-stronger"})
"""What rules do that speak for a cause."""

FINDINGS: Mapping[Level, range] = {1: range(1, 4), 2: range(1, 5), 3: range(2, 6)}
"""How many findings are told."""

FINDING_TRIES = 2
"""How often findings are drawn for one call-out: other findings cost less than another call-out."""


def draft_likeliest_cause(workshop: Workshop, rng: Random, level: Level, topic: str | None) -> Draft:
    """Return a question on the likeliest cause; raise Refused."""
    scene = draw_scene(workshop, rng, _causes(workshop, topic))
    if scene is None:
        raise Refused("the cause cannot show at this site")
    if report_gives_away(workshop, scene):
        raise Refused("the report names the cause")
    scene = next(_clear_ones(workshop, scene, level, rng), None) or _too_doubtful()
    weight = weight_of(scene, workshop)
    shares = by_cause(scene, weight.probabilities)
    key = next(iter(shares))
    wrong = tuple(_wrong_choices(workshop, scene, weight, key, level))
    return Draft(
        kind="likeliest-cause",
        topic=workshop.cause(key).family,
        stem=tell_case(workshop, scene.case),
        lead_in=workshop.phrases.say("likeliest-cause"),
        key=_choice(workshop, key, reasons_for(workshop, scene, weight)),
        wrong=wrong,
        explanation=reasons_for(workshop, scene, weight),
        references=(Reference("causes", key),),
        evidence={**keep_case(scene.case), "share": round(shares[key], 4), "ratio": LEAST_RATIO[level]},
    )


def _causes(workshop: Workshop, topic: str | None) -> list[Cause]:
    return [it for it in workshop.knowledge.causes.values() if it.id != AS_DESIGNED and topic in (None, it.family)]


def _too_doubtful() -> Scene:
    raise Refused("the findings leave too much in doubt")


def _clear_ones(workshop: Workshop, scene: Scene, level: Level, rng: Random) -> Iterator[Scene]:
    """Yield the call-out with findings that make its cause likely enough, from a few tries."""
    tries = (_with_findings(workshop, scene, level, rng) for _ in range(FINDING_TRIES))
    yield from (it for it in tries if it is not None)


def _with_findings(workshop: Workshop, scene: Scene, level: Level, rng: Random) -> Scene | None:
    """Return the call-out with the findings that make its cause likely enough; None where those drawn do not."""
    for _ in range(FINDINGS[level].stop):
        shares = by_cause(scene, weight_of(scene, workshop).probabilities)
        if len(scene.case.findings) in FINDINGS[level] and _stands_out(shares, scene.cause, level):
            return scene
        told = discreet(workshop, scene, telling_findings(workshop, scene, decisive_too=level == 1))
        told = told[: CHOSEN_FROM[level]]
        if not told:
            break
        scene = scene.told(rng.choice(told))
    return None


def _stands_out(shares: Mapping[str, float], cause: str, level: Level) -> bool:
    return next(iter(shares)) == cause and shares[cause] >= LEAST_SHARE[level]


def _wrong_choices(workshop: Workshop, scene: Scene, weight: Weight, key: str, level: Level) -> Iterator[Choice]:
    """Yield the causes that lead before the findings, each with what speaks against it, likeliest before first."""
    shares = by_cause(scene, weight.probabilities)
    before = by_cause(scene, posterior([it.weight for it in scene.hypotheses], ()))
    for cause in before:
        if cause == key or overlaps(workshop, cause, key):
            continue
        if shares[cause] * LEAST_RATIO[level] <= shares[key]:
            against = speaks_against(workshop, scene, weight, key, cause)
            if against:
                yield _choice(workshop, cause, workshop.phrases.english("why", against))
    yield from _ruled_out(workshop, scene)


def _ruled_out(workshop: Workshop, scene: Scene) -> Iterator[Choice]:
    """Yield the causes that a rule excludes here, with the rule's own words."""
    suspected = {it.cause for it in scene.hypotheses}
    for (cause, _), firing in scene.reasoning.hypotheses.excluded.items():
        if cause not in suspected:
            says = explain_firing(workshop.reasoner, scene.reasoning, firing).says
            yield _choice(workshop, cause, workshop.phrases.english("why", says))


def speaks_against(workshop: Workshop, scene: Scene, weight: Weight, key: str, cause: str) -> str | None:
    """Return the finding that speaks most against a cause and for the right one, in words; None without one.

    Only checks count whose outcomes the cause itself tells: what it says nothing of proves nothing against it.
    """
    told_of = {it.check: it for it in workshop.cause(cause).checks}
    typed = {(it.check, it.part): it for it in scene.case.findings}
    ratios = [
        (_best_chance(scene, it.chances, key) / _best_chance(scene, it.chances, cause), place)
        for place, it in enumerate(weight.weighed)
        if it.finding.check in told_of
    ]
    ratio, place = max(ratios, default=(0.0, 0))
    if ratio < SPEAKS_AGAINST:
        return None
    finding = weight.weighed[place].finding
    told = tell_finding(workshop, typed.get((finding.check, finding.part), finding))
    return f"“{told}” is seldom found with this fault. {told_of[finding.check].because}"


def _best_chance(scene: Scene, chances: Floats, cause: str) -> float:
    return max(float(chance) for it, chance in zip(scene.hypotheses, chances, strict=True) if it.cause == cause)


def reasons_for(workshop: Workshop, scene: Scene, weight: Weight) -> str:
    """Return the rule's own words for the true cause, and what each finding that points to it means."""
    firings = scene.hypotheses[scene.truth].firings
    by_rule = [explain_firing(workshop.reasoner, scene.reasoning, it) for it in firings]
    said = [it.says for it in by_rule if it.effect in FOR]
    said += [
        f"{tell_finding(workshop, finding)}. {_means(workshop, it.finding)}"
        for it, finding in zip(weight.weighed, scene.case.findings, strict=True)
        if it.chances[scene.truth] > TOLD_FROM * it.expected
    ]
    return workshop.phrases.english("explanation", " ".join(dict.fromkeys(said)))


def _means(workshop: Workshop, finding: Finding) -> str:
    return next(it.means for it in workshop.check(finding.check).outcomes if it.id == finding.outcome)


def overlaps(workshop: Workshop, one: str, other: str) -> bool:
    """Return whether two causes would both be right: normal behaviour is what every designed one is."""
    if frozenset({one, other}) in ALIKE:
        return True
    causes = workshop.cause(one), workshop.cause(other)
    return AS_DESIGNED in (one, other) and all(it.as_designed for it in causes)


def prove_likeliest_cause(workshop: Workshop, item: Item) -> Iterator[str]:
    """Yield what keeps the item from being right when the rules run again on what its stem says."""
    scene = reopened(workshop, item.evidence)
    shares = by_cause(scene, weight_of(scene, workshop).probabilities)
    key = item.answer[0]
    if next(iter(shares)) != key:
        yield f"{next(iter(shares))} leads, not {key}"
    for it in item.wrong:
        if shares.get(it.id, 0.0) * float(str(item.evidence["ratio"])) > shares[key] + 1e-9:
            yield f"{it.id} has {shares[it.id]:.2f} against {shares[key]:.2f}"


def _choice(workshop: Workshop, cause: str, reason: str) -> Choice:
    return Choice(cause, workshop.phrases.cause(cause), reason)
