"""Ask what a check shows when one cause is behind the fault."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from random import Random

from diag.topology import SITE_PART
from diag.training.draft import FEWEST_WRONG, Draft, Refused
from diag.training.item import Choice, Item, Level, Reference
from diag.training.scenarios import Scene, draw_scene, found_by
from diag.training.telling import check_at, outcome_id
from diag.training.workshop import Workshop
from knowledge.entries import Cause, Check, CheckEvidence

LEAST_CHANCE, MOST_CHANCE = 0.7, 0.1
"""How often the right outcome must be seen, and how seldom each wrong one."""

CLEAR: Mapping[Level, float] = {1: 0.85, 2: LEAST_CHANCE, 3: LEAST_CHANCE}
"""How often the right outcome is seen at each level."""


def draft_expect_outcome(workshop: Workshop, rng: Random, level: Level, topic: str | None) -> Draft:
    """Return a question on what a check shows under one cause; raise Refused."""
    causes = [it for it in workshop.knowledge.causes.values() if topic in (None, it.family) and not it.as_designed]
    scene = draw_scene(workshop, rng, [it for it in causes if any(_clear(workshop, it, level))])
    if scene is None:
        raise Refused("the cause cannot show at this site")
    cause = workshop.cause(scene.cause)
    evidence, option = _chosen(workshop, scene, cause, level, rng)
    check = workshop.check(evidence.check)
    chances = chances_at(workshop, cause.id, check)
    key = max(chances, key=lambda it: chances[it])
    part = scene.hypotheses[scene.truth].part
    return Draft(
        kind="expect-outcome",
        topic=cause.family,
        stem=_stem(workshop, cause, part, check, option),
        lead_in=workshop.phrases.say("expect-outcome"),
        key=Choice(key, workshop.phrases.outcome(check, key), workshop.phrases.english("why", evidence.because)),
        wrong=tuple(_wrong(workshop, check, {it: share for it, share in chances.items() if share <= MOST_CHANCE})),
        explanation=workshop.phrases.english("explanation", f"{evidence.because} {cause.means}"),
        references=(Reference("causes", cause.id), Reference("checks", check.id)),
        evidence={"cause": cause.id, "check": check.id, "part": part, "at": option},
    )


def _chosen(workshop: Workshop, scene: Scene, cause: Cause, level: Level, rng: Random) -> tuple[CheckEvidence, str]:
    """Return a check that shows one thing clearly under the cause, here as well, and the part it is made at."""
    made = dict(reversed(scene.reasoning.options.options))
    fitting = [it for it in _clear(workshop, cause, level) if it.check in made]
    rng.shuffle(fitting)
    for evidence in fitting:
        check, part = workshop.check(evidence.check), made[evidence.check]
        chances = chances_at(workshop, cause.id, check)
        found = found_by(workshop, scene, check.id, part)
        shown = outcome_id(workshop, found) if found else None
        if shown and chances[shown] >= LEAST_CHANCE:
            return evidence, part
    raise Refused("no check shows one thing clearly")


def _clear(workshop: Workshop, cause: Cause, level: Level) -> Iterator[CheckEvidence]:
    """Yield the checks that show one thing far more often than the others under a cause, wherever they are made."""
    for it in cause.checks:
        check = workshop.check(it.check)
        if len(check.outcomes) > FEWEST_WRONG and _is_made(workshop, check):
            shares = chances_at(workshop, cause.id, check).values()
            seldom = sum(share <= MOST_CHANCE for share in shares)
            if max(shares) >= CLEAR[level] and seldom >= FEWEST_WRONG:
                yield it


def _is_made(workshop: Workshop, check: Check) -> bool:
    return check.at == SITE_PART or bool(workshop.topology.of_kind(check.at))


def chances_at(workshop: Workshop, cause: str, check: Check) -> dict[str, float]:
    """Return how often each outcome of a check is seen under a cause."""
    tables = workshop.reasoner.tables
    row = dict(tables.by_cause[cause])[check.id]
    return {it.id: float(share) for it, share in zip(check.outcomes, tables.shares(row), strict=False)}


def _stem(workshop: Workshop, cause: Cause, part: str, check: Check, at: str) -> tuple[str, ...]:
    say = workshop.phrases.say
    return (
        say("site", site=workshop.prepared.site.name),
        say("suppose", cause=workshop.phrases.cause(cause.id), part=workshop.part(part)),
        say("check-made", said=check_at(workshop, check.id, at)),
    )


def _wrong(workshop: Workshop, check: Check, chances: dict[str, float]) -> Iterator[Choice]:
    means = {it.id: it.means for it in check.outcomes}
    for outcome in sorted(chances, key=lambda it: (-chances[it], it)):
        why = workshop.phrases.english("why", f"That is seen in other faults. It says: {means[outcome]}")
        yield Choice(outcome, workshop.phrases.outcome(check, outcome), why)


def prove_expect_outcome(workshop: Workshop, item: Item) -> Iterator[str]:
    """Yield what keeps the item from being right when the tables are read again."""
    chances = chances_at(workshop, str(item.evidence["cause"]), workshop.check(str(item.evidence["check"])))
    if chances[item.answer[0]] < LEAST_CHANCE:
        yield f"{item.answer[0]} is seen in {chances[item.answer[0]]:.2f}"
    yield from (f"{it.id} is seen in {chances[it.id]:.2f}" for it in item.wrong if chances[it.id] > MOST_CHANCE)
