"""Ask which cause goes with each of three reports, with one cause to spare."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from random import Random

from diag.explain import explain_firing
from diag.observations import Case, Observed
from diag.reasoning import Reasoning, open_case
from diag.training.draft import Refused
from diag.training.item import Choice, Item, Level, Reference
from diag.training.lint import faults_of
from diag.training.suspicion import parts_about, symptoms_of
from diag.training.workshop import Workshop
from knowledge.entries import Cause

PAIRS = 3
TRIES = 60


@dataclass(frozen=True)
class Pair:
    """A report about a part, the cause that goes with it, and what the rules suspect there."""

    symptom: str
    part: str
    cause: Cause
    reasoning: Reasoning

    @property
    def suspects(self) -> frozenset[str]:
        """Return every cause that a rule suspects for the report, or rules out only here."""
        open_ones = {it.cause for it in self.reasoning.hypotheses.open if it.firings}
        return frozenset(open_ones | {cause for cause, _ in self.reasoning.hypotheses.excluded})


def draft_match_causes(workshop: Workshop, rng: Random, level: Level, topic: str | None) -> Item:
    """Return a question that pairs reports with causes in the one way the rules allow; raise Refused."""
    pairs: list[Pair] = []
    for _ in range(TRIES):
        pair = _pair(workshop, rng, topic if not pairs else _wanted(pairs, level), pairs)
        if pair and _stands_apart(pair, pairs):
            pairs.append(pair)
        if len(pairs) == PAIRS:
            break
    else:
        raise Refused("no three reports stand apart")
    spare = _spare(workshop, rng, pairs)
    item = _item(workshop, rng, level, pairs, spare)
    faults = faults_of(item)
    if faults:
        raise Refused(", ".join(it.rule for it in faults))
    return item


def _wanted(pairs: list[Pair], level: Level) -> str | None:
    """At the third level all causes are of one family, which makes them harder to tell apart."""
    return pairs[0].cause.family if level == 3 else None


def _pair(workshop: Workshop, rng: Random, topic: str | None, pairs: list[Pair]) -> Pair | None:
    """Return another report with its cause; None where no rule ties them, or a rule ties one to those there are."""
    causes = [it for it in workshop.knowledge.causes.values() if topic in (None, it.family) and not it.as_designed]
    cause = rng.choice(causes)
    symptoms = symptoms_of(workshop, cause)
    symptom = rng.choice(symptoms) if symptoms else None
    parts = parts_about(workshop, symptom) if symptom else []
    if symptom is None or not parts or _may_clash(workshop, symptom.id, cause, pairs):
        return None
    part = rng.choice(parts)
    case = Case(symptoms=(Observed(symptom.id, part),), at=workshop.noon)
    reasoning = open_case(workshop.reasoner, workshop.prepared, case)
    pair = Pair(symptom.id, part, cause, reasoning)
    return pair if any(it.cause == cause.id and it.firings for it in reasoning.hypotheses.open) else None


def _may_clash(workshop: Workshop, symptom: str, cause: Cause, pairs: list[Pair]) -> bool:
    """Return whether rules, wherever they hold, tie this cause to an earlier report or an earlier cause to this one."""
    shown = {it.id for it in symptoms_of(workshop, cause)}
    return any(it.symptom in shown or symptom in {one.id for one in symptoms_of(workshop, it.cause)} for it in pairs)


def _stands_apart(pair: Pair, pairs: list[Pair]) -> bool:
    return all(
        it.symptom != pair.symptom and it.cause.id not in pair.suspects and pair.cause.id not in it.suspects
        for it in pairs
    )


def _spare(workshop: Workshop, rng: Random, pairs: list[Pair]) -> Cause:
    suspects = frozenset().union(*(it.suspects for it in pairs))
    family = pairs[0].cause.family
    left = [it for it in workshop.knowledge.causes.values() if it.id not in suspects and not it.as_designed]
    near = [it for it in left if it.family == family]
    if not left:
        raise Refused("no cause is to spare")
    return rng.choice(near or left)


def _item(workshop: Workshop, rng: Random, level: Level, pairs: list[Pair], spare: Cause) -> Item:
    choices = [_choice(workshop, it) for it in pairs] + [_spare_choice(workshop, spare)]
    rng.shuffle(choices)
    return Item(
        kind="match-causes",
        level=level,
        topic=pairs[0].cause.family,
        site=workshop.prepared.site.name,
        language=workshop.phrases.language,
        stem=(workshop.phrases.say("site", site=workshop.prepared.site.name), workshop.phrases.say("match-spare")),
        lead_in=workshop.phrases.say("match"),
        choices=tuple(choices),
        answer=tuple(it.cause.id for it in pairs),
        explanation=" ".join(dict.fromkeys(_because(workshop, it) for it in pairs)),
        references=tuple(Reference("causes", it.cause.id) for it in pairs),
        evidence={"reports": tuple(f"{it.symptom}@{it.part}" for it in pairs)},
        response="match",
        prompts=tuple(f"{workshop.phrases.symptom(it.symptom)}, {workshop.part(it.part)}" for it in pairs),
        in_english=() if workshop.phrases.language == "en" else ("explanation", "why"),
    )


def _choice(workshop: Workshop, it: Pair) -> Choice:
    return Choice(it.cause.id, workshop.phrases.cause(it.cause.id), _because(workshop, it))


def _spare_choice(workshop: Workshop, cause: Cause) -> Choice:
    return Choice(cause.id, workshop.phrases.cause(cause.id), "No rule connects it with any of these reports.")


def _because(workshop: Workshop, pair: Pair) -> str:
    hypothesis = next(it for it in pair.reasoning.hypotheses.open if it.cause == pair.cause.id and it.firings)
    return explain_firing(workshop.reasoner, pair.reasoning, hypothesis.firings[0]).says


def prove_match_causes(workshop: Workshop, item: Item) -> Iterator[str]:
    """Yield what keeps the pairs from being the only ones when the rules run again."""
    reports = item.evidence["reports"]
    assert isinstance(reports, tuple)
    for report, cause in zip(reports, item.answer, strict=True):
        symptom, _, part = report.partition("@")
        case = Case(symptoms=(Observed(symptom, part),), at=workshop.noon)
        suspected = {
            it.cause for it in open_case(workshop.reasoner, workshop.prepared, case).hypotheses.open if it.firings
        }
        if cause not in suspected:
            yield f"{cause} is not suspected for {report}"
        yield from (f"{it.id} also goes with {report}" for it in item.choices if it.id in suspected - {cause})
