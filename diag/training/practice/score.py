"""Score a practice call-out and lay both ways through it side by side."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import zip_longest

from diag.reasoner import PreparedSite, Reasoner
from diag.training.item import Reference
from diag.training.practice.planner import planners_way, shortest_minutes
from diag.training.practice.run import Practice, PracticeRequest, begin_practice
from diag.training.practice.steps import PRECAUTIONS, Taken
from diag.wording import name_part

FOR_CAUSE, FOR_TIME, FOR_SAFETY, FOR_PARTS = 40, 20, 30, 10
"""Points for naming the cause at the first try, for the minutes, for working safely, for no needless repair."""

FOR_EACH_DANGER, FOR_EACH_REPAIR = 10, 5
"""Points lost for each danger that no precaution answered, and for each repair in vain; judgement."""


@dataclass(frozen=True, slots=True)
class UnsafeAct:
    """A step with a danger that no precaution answered: which caution, why, and what would have answered it."""

    step: int
    name: str
    caution: str
    why: str
    precaution: str


@dataclass(frozen=True, slots=True)
class Debrief:
    """How a call-out went: points in all and by part, minutes of three ways, what was unsafe, both ways."""

    is_solved: bool
    points: int
    for_cause: int
    for_time: int
    for_safety: int
    for_parts: int
    minutes: float
    planner_minutes: float
    shortest_minutes: float
    climbs: int
    planner_climbs: int
    planner_solved: bool
    needless_repairs: int
    unsafe: tuple[UnsafeAct, ...]
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
    repairs = [it for it in practice.taken if it.step.kind == "repair"]
    needless = sum(not it.was_there for it in repairs)
    unsafe = tuple(_unsafe(practice))
    marks = (
        FOR_CAUSE if repairs and repairs[0].was_there else FOR_CAUSE // 2 if practice.is_over else 0,
        _for_time(practice, planner),
        _for_safety(practice, len(unsafe)),
        max(0, FOR_PARTS - FOR_EACH_REPAIR * needless) if practice.is_over else 0,
    )
    return Debrief(
        is_solved=practice.is_over,
        points=sum(marks),
        for_cause=marks[0],
        for_time=marks[1],
        for_safety=marks[2],
        for_parts=marks[3],
        minutes=practice.minutes,
        planner_minutes=planner.minutes,
        shortest_minutes=min(shortest, planner.minutes) if planner.is_over else shortest,
        climbs=practice.climbs,
        planner_climbs=planner.climbs,
        planner_solved=planner.is_over,
        needless_repairs=needless,
        unsafe=unsafe,
        cause=cause.id,
        cause_name=cause.name,
        where=name_part(practice.prepared.scope(()), fault.part),
        means=cause.means,
        reference=Reference("causes", cause.id),
        steps=tuple(zip_longest(practice.taken, planner.taken)),
    )


def _for_time(practice: Practice, planner: Practice) -> int:
    """Return all the points for the planner's minutes or fewer, half of them for twice as many."""
    if not practice.is_over or practice.minutes <= 0:
        return 0
    return round(FOR_TIME * min(1.0, planner.minutes / practice.minutes))


def _for_safety(practice: Practice, unsafe: int) -> int:
    """Return the points for safety; who gave up has not shown the whole work."""
    return max(0, FOR_SAFETY - FOR_EACH_DANGER * unsafe) if practice.is_over else 0


def _unsafe(practice: Practice) -> Iterator[UnsafeAct]:
    cautions = practice.reasoner.knowledge.cautions
    for number, it in enumerate(practice.taken, 1):
        for danger in it.dangers:
            said = PRECAUTIONS[danger.precaution]
            yield UnsafeAct(number, it.name, cautions[danger.caution].name, danger.why, said)
