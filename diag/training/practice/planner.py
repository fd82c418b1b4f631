"""Go the planner's way through the same call-out, and the way of somebody who knew where to look."""

from __future__ import annotations

from typing import Literal

from diag.errors import DiagError
from diag.explain import public_part
from diag.next_step import plan
from diag.reasoner import PreparedSite, Reasoner
from diag.training.practice.run import Practice, PracticeRequest, begin_practice
from diag.training.practice.steps import PRECAUTION_MINUTES, Step
from diag.virtual_checks.unsafe import Danger
from diag.weighing import weigh

MOST_STEPS = 40


def planners_way(reasoner: Reasoner, prepared: PreparedSite, request: PracticeRequest) -> Practice:
    """Return the call-out with the steps the planner would take, every precaution included.

    It gives up, as a person would, when calling for help is the best that is left.
    """
    practice = begin_practice(reasoner, prepared, request)
    while not practice.is_over and len(practice.taken) < MOST_STEPS:
        step = _next_step(practice)
        if step is None:
            break
        practice.take(step)
    return practice


def _next_step(practice: Practice) -> Step | None:
    """Return the planner's step here and now, precautions included; None for calling help or where nothing is left.

    It proves each repair at once.
    """
    if practice.to_prove is not None:
        return Step("proof", practice.to_prove.step.what, practice.to_prove.step.part)
    reasoning = practice.reasoning()
    weight = weigh(practice.reasoner, reasoning, practice.findings())
    planned = plan(practice.reasoner, reasoning, weight, practice.place)
    made = {(it.step.what, it.step.part) for it in practice.taken}
    for it in (planned.step, *planned.otherwise):
        part = public_part(it.part)
        if it.kind == "call" or (it.kind == "repair" and part is None):
            return None
        if (it.name, part) not in made:
            return _careful(practice, it.kind, it.name, part)
    return None


def _careful(practice: Practice, kind: Literal["check", "repair"], name: str, part: str | None) -> Step:
    asks = wanted(practice, name, part) if kind == "check" else wanted_for_repair(practice, name, part)
    return Step(kind, name, part, asks)


def wanted(practice: Practice, check: str, part: str | None) -> tuple[str, ...]:
    """Return the precautions that a check wants here and now."""
    dangers: tuple[Danger, ...] = practice.call.unsafe(check, part)
    return tuple(dict.fromkeys(it.precaution for it in dangers))


def wanted_for_repair(practice: Practice, cause: str, part: str | None) -> tuple[str, ...]:
    """Return the precautions that a repair wants here and now."""
    return tuple(dict.fromkeys(it.precaution for it in practice.unsafe_repair(cause, part)))


def shortest_minutes(practice: Practice) -> float:
    """Return the least minutes in which the fault could be shown and mended: its best check, and its repair.

    Of a call-out on which nothing was done yet. Somebody who knew which check shows the fault would need these.
    """
    fault = practice.call.faults[0]
    repair = practice.call.repair_minutes(fault.cause, fault.part, None)
    careful = PRECAUTION_MINUTES * len(wanted_for_repair(practice, fault.cause, fault.part))
    shown = [it for it in _showing(practice, fault.cause) if it is not None]
    return min(shown, default=0.0) + repair.minutes + careful - (repair.walk_minutes if shown else 0.0)


def _showing(practice: Practice, cause: str) -> list[float]:
    """Return the minutes of each check that alone shows the cause, made where it can be made."""
    decisive = {it.check for it in practice.reasoner.knowledge.causes[cause].checks if it.decisive}
    found: list[float] = []
    for check, part in practice.reasoning().options.options:
        if check in decisive and not part.startswith("?"):
            try:
                cost = practice.call.minutes(check, part, None)
            except DiagError:
                continue
            found.append(cost.minutes + PRECAUTION_MINUTES * len(wanted(practice, check, part)))
    return found
