"""Scenes to ask about: a fault put into the virtual site, what a caller reports of it, and what checks find there."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import ceil, sqrt
from random import Random

from diag.diagnose import answer
from diag.errors import DiagError
from diag.hypotheses import Hypothesis
from diag.likelihoods import SOMETHING_ELSE, Floats
from diag.observations import Case, Diagnosis, Finding
from diag.reasoning import Reasoning, open_case
from diag.training.dice import pick, spread
from diag.training.item import Value
from diag.training.telling import kept_case, outcome_id
from diag.training.workshop import Workshop
from diag.virtual.faults import FAULTS, Fault, places_for
from diag.virtual_checks.callout import CallOut
from diag.virtual_checks.drawing import call_out
from diag.virtual_checks.people import PERFECT
from diag.weighing import Weight, weigh
from knowledge.entries import Cause

CAUSES_TRIED = 3
"""How many causes are put into the site before a scene is given up: many faults nobody would notice."""

TELLS = 1.15
"""A finding is worth telling when the true cause shows it so many times as often as all that is suspected."""


@dataclass(frozen=True, slots=True)
class Made:
    """A check that was made: what it found, and the place of that among the outcomes of the check."""

    finding: Finding
    place: int


@dataclass(frozen=True)
class Scene:
    """A case with its reasoning, and the place of its true cause among the hypotheses."""

    case: Case
    reasoning: Reasoning
    truth: int
    call: CallOut | None = None
    """The virtual site behind it; None where a scene is opened again to be proved."""

    found: dict[tuple[str, str], Made | None] = field(default_factory=dict, compare=False)
    """What checks found there so far: each is made once."""

    @property
    def cause(self) -> str:
        """Return the cause that is behind it."""
        return self.hypotheses[self.truth].cause

    @property
    def hypotheses(self) -> Sequence[Hypothesis]:
        """Return what is suspected before any check."""
        return self.reasoning.hypotheses.open

    def told(self, finding: Finding) -> Scene:
        """Return the scene with one more finding."""
        return replace(self, case=replace(self.case, findings=(*self.case.findings, finding)))


def draw_scene(
    workshop: Workshop, rng: Random, causes: Sequence[Cause], among: Container[str] | None = None
) -> Scene | None:
    """Return a scene behind which one of the causes is, without findings; None when none came about.

    `among` keeps to scenes in which one of these symptoms is reported.
    """
    slots = list(_slots(workshop, causes))
    for _ in range(CAUSES_TRIED if slots else 0):
        (cause, parts), within = pick(slots, spread(rng))
        fault = Fault(cause.id, pick(parts, within)[0], rng.random())
        call = call_out(workshop.reasoner, workshop.prepared, [fault], rng.randrange(10**9), PERFECT, "as-drawn")
        if call is None or (among is not None and not any(it.symptom in among for it in call.symptoms)):
            continue
        scene = _opened(workshop, call, fault)
        if scene is not None:
            return scene
    return None


def _slots(workshop: Workshop, causes: Sequence[Cause]) -> Iterator[tuple[Cause, Sequence[str]]]:
    """Yield each cause with the parts it can sit at, spread over more slots the more parts there are.

    Their number is the root of that of the parts: what sits at one part alone comes less often, and is repeated less.
    """
    for it in causes:
        parts = places_for(workshop.topology, it.id) if it.id in FAULTS else ()
        slots = ceil(sqrt(len(parts)))
        for slot in range(slots):
            yield it, parts[slot::slots]


def _opened(workshop: Workshop, call: CallOut, fault: Fault) -> Scene | None:
    """Return the scene of a call when the rules suspect what is really wrong; else None."""
    case = replace(call.case(), at=call.at)
    reasoning = open_case(workshop.reasoner, workshop.prepared, case)
    spots = [(it.cause, it.part) for it in reasoning.hypotheses.open if it.firings]
    if (fault.cause, fault.part) not in spots:
        return None
    truth = next(
        place for place, it in enumerate(reasoning.hypotheses.open) if (it.cause, it.part) == (fault.cause, fault.part)
    )
    return Scene(case, reasoning, truth, call)


def reopened(workshop: Workshop, evidence: Mapping[str, Value]) -> Scene:
    """Return the scene of an evidence, its rules run again; which hypothesis is true is not said."""
    case = kept_case(evidence)
    return Scene(case, open_case(workshop.reasoner, workshop.prepared, case), 0)


def found_by(workshop: Workshop, scene: Scene, check: str, part: str | None) -> Finding | None:
    """Return what a check at a part of the virtual site finds; None when it cannot be made or is not clear."""
    option = next((it for it in scene.reasoning.options.options if it[0] == check and part in (None, it[1])), None)
    if option is None or scene.call is None or option[1].startswith("?"):
        return None
    if option not in scene.found:
        scene.found[option] = _made(workshop, scene.call, *option)
    made = scene.found[option]
    return made.finding if made else None


def _made(workshop: Workshop, call: CallOut, check: str, part: str) -> Made | None:
    try:
        reply = call.answer(check, part)
    except DiagError:  # the site does not tell what is right there
        return None
    if not reply.outcome:
        return None
    place = [it.id for it in workshop.check(check).outcomes].index(reply.outcome)
    return Made(_typed(workshop, Finding(check, reply.typed, part), reply.outcome), place)


def _typed(workshop: Workshop, finding: Finding, outcome: str) -> Finding:
    """Return the finding as it was read; as its outcome where a meter shows no number that can be typed."""
    try:
        return finding if outcome_id(workshop, finding) == outcome else replace(finding, outcome=outcome)
    except DiagError:
        return replace(finding, outcome=outcome)


def telling_findings(workshop: Workshop, scene: Scene, decisive_too: bool) -> list[Finding]:
    """Return what checks not made yet find, those that point to the true cause most first."""
    cause = workshop.cause(scene.cause)
    checks = {it.check for it in cause.checks if decisive_too or not it.decisive}
    made = {it.check for it in scene.case.findings}
    weight = weight_of(scene, workshop)
    shifts: list[tuple[float, str, Finding]] = []
    for check, part in scene.reasoning.options.options:
        found = found_by(workshop, scene, check, part) if check in checks - made else None
        if found is not None:
            shift = _shift(scene, weight, (check, part))
            if shift >= TELLS:
                shifts.append((shift, f"{check}@{part}", found))
    return [it for _, _, it in sorted(shifts, key=lambda it: (-round(it[0], 6), it[1]))]


def _shift(scene: Scene, weight: Weight, option: tuple[str, str]) -> float:
    """Return how many times likelier what a check found makes the true cause, as weighing it would."""
    made = scene.found[option]
    assert made is not None
    chances = scene.reasoning.options.chances[scene.reasoning.options.place_of(option), :, made.place]
    return float(chances[scene.truth] / max(float(weight.probabilities @ chances), 1e-12))


def by_cause(scene: Scene, probabilities: Floats) -> dict[str, float]:
    """Return the probability of each cause over all its parts, likeliest first; "something else" is left out."""
    sums: dict[str, float] = defaultdict(float)
    for hypothesis, probability in zip(scene.hypotheses, probabilities, strict=True):
        if hypothesis.cause != SOMETHING_ELSE:
            sums[hypothesis.cause] += float(probability)
    return dict(sorted(sums.items(), key=lambda it: (-round(it[1], 9), it[0])))


def weight_of(scene: Scene, workshop: Workshop) -> Weight:
    """Return the probabilities after the findings told."""
    return weigh(workshop.reasoner, scene.reasoning, scene.case.findings)


def answer_of(scene: Scene, workshop: Workshop) -> Diagnosis:
    """Return the answer after the findings told."""
    return answer(workshop.reasoner, scene.reasoning, scene.case.findings)
