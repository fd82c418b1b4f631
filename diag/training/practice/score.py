"""Score a practice call-out and lay both ways through it side by side."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import zip_longest

from diag.reasoner import PreparedSite, Reasoner
from diag.training.item import Reference
from diag.training.practice.marks import Marks, marks_of, missing
from diag.training.practice.planner import planners_way, shortest_minutes
from diag.training.practice.run import Practice, PracticeRequest, begin_practice
from diag.training.practice.steps import Taken


@dataclass(frozen=True, slots=True)
class UnsafeAct:
    """A step with a danger that no precaution answered: which caution, why, and what would have answered it."""

    step: int
    name: str
    caution: str
    why: str
    precaution: str


@dataclass(frozen=True, slots=True)
class NeedlessAct:
    """A step with precautions that it had no use for, by their words; spoiled where they hid what it was to show."""

    step: int
    name: str
    precautions: tuple[str, ...]
    is_spoiled: bool


@dataclass(frozen=True, slots=True)
class Debrief:
    """How a call-out went: points in all and by part, minutes of three ways, what was unsafe, both ways."""

    is_solved: bool
    is_mended: bool
    """The complaint is gone, though perhaps nobody has shown it; solved is shown as well."""

    points: int
    for_cause: int
    for_evidence: int
    for_proof: int
    for_time: int
    for_safety: int
    for_parts: int
    missing: tuple[str, ...]
    """For each part of the score that is not full: how many points are missing, and why."""

    minutes: float
    planner_minutes: float
    shortest_minutes: float
    climbs: int
    planner_climbs: int
    planner_solved: bool
    needless_repairs: int
    unsafe: tuple[UnsafeAct, ...]
    needless: tuple[NeedlessAct, ...]
    cause: str
    cause_name: str
    where: str
    means: str
    reference: Reference
    steps: tuple[tuple[Taken | None, Taken | None], ...]
    """The trainee's steps beside the planner's; None where one way has no more."""


def debrief(practice: Practice, reasoner: Reasoner, prepared: PreparedSite, request: PracticeRequest) -> Debrief:
    """Return the debrief of a call-out, over or given up."""
    planner = planners_way(reasoner, prepared, request)
    shortest = shortest_minutes(begin_practice(reasoner, prepared, request))
    fault = practice.call.faults[0]
    cause = reasoner.knowledge.causes[fault.cause]
    marks: Marks = marks_of(practice, planner.minutes)
    return Debrief(
        is_solved=practice.is_over,
        is_mended=practice.is_mended,
        points=marks.points,
        for_cause=marks.for_cause,
        for_evidence=marks.for_evidence,
        for_proof=marks.for_proof,
        for_time=marks.for_time,
        for_safety=marks.for_safety,
        for_parts=marks.for_parts,
        missing=tuple(missing(practice, marks, planner.minutes)),
        minutes=practice.minutes,
        planner_minutes=planner.minutes,
        shortest_minutes=min(shortest, planner.minutes) if planner.is_over else shortest,
        climbs=practice.climbs,
        planner_climbs=planner.climbs,
        planner_solved=planner.is_over,
        needless_repairs=marks.needless_repairs,
        unsafe=tuple(_unsafe(practice)),
        needless=tuple(_needless(practice)),
        cause=cause.id,
        cause_name=practice.said.phrases.cause(cause.id),
        where=practice.name(fault.part),
        means=cause.means,
        reference=Reference("causes", cause.id),
        steps=tuple(zip_longest(practice.taken, planner.taken)),
    )


def _unsafe(practice: Practice) -> Iterator[UnsafeAct]:
    said = practice.said
    for number, it in enumerate(practice.taken, 1):
        for danger in it.dangers:
            caution = said.phrases.caution_name(danger.caution)
            yield UnsafeAct(number, it.name, caution, said.why(danger), said.precaution(danger.precaution))


def _needless(practice: Practice) -> Iterator[NeedlessAct]:
    for number, it in enumerate(practice.taken, 1):
        if it.needless or it.is_spoiled:
            says = tuple(practice.said.precaution(each) for each in it.needless)
            yield NeedlessAct(number, it.name, says, it.is_spoiled)
