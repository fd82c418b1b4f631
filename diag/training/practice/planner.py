"""Go the planner's way through the same call-out, and the way of somebody who knew where to look."""

from __future__ import annotations

from itertools import takewhile

from diag.diagnose import answer
from diag.errors import DiagError
from diag.likelihoods import SOMETHING_ELSE
from diag.observations import Diagnosis
from diag.reasoner import PreparedSite, Reasoner
from diag.training.practice.run import Practice, PracticeRequest, begin_practice
from diag.training.practice.steps import PRECAUTION_MINUTES, Step
from diag.virtual_checks.unsafe import Danger

MOST_STEPS = 40
MOST_CHECKS = 10
"""After so many checks without certainty the likeliest cause is mended: judgement."""

LEAST_BITS = 0.02
"""Below this no check is made any more and the likeliest cause is mended: judgement."""


def planners_way(reasoner: Reasoner, prepared: PreparedSite, request: PracticeRequest) -> Practice:
    """Return the call-out with the steps the planner would take, every precaution included.

    It gives up, as a person would, when nothing is left to try.
    """
    practice = begin_practice(reasoner, prepared, request)
    while not practice.is_over and len(practice.taken) < MOST_STEPS:
        step = _next_step(practice, answer(reasoner, practice.reasoning(), practice.findings()))
        if step is None:
            break
        practice.take(step)
    return practice


def _next_step(practice: Practice, diagnosis: Diagnosis) -> Step | None:
    made = {(it.step.what, it.step.part) for it in practice.taken}
    fresh = [it for it in diagnosis.next if it.bits >= LEAST_BITS and (it.check, it.part) not in made]
    if fresh and diagnosis.repair is None and _checks_since_repair(practice) < MOST_CHECKS:
        return Step("check", fresh[0].check, fresh[0].part, wanted(practice, fresh[0].check, fresh[0].part))
    causes = [it for it in diagnosis.causes if it.cause != SOMETHING_ELSE and (it.cause, it.part) not in made]
    return Step("repair", causes[0].cause, causes[0].part) if causes else None


def _checks_since_repair(practice: Practice) -> int:
    return sum(1 for _ in takewhile(lambda it: it.step.kind == "check", reversed(practice.taken)))


def wanted(practice: Practice, check: str, part: str | None) -> tuple[str, ...]:
    """Return the precautions that a check wants here and now."""
    dangers: tuple[Danger, ...] = practice.call.unsafe(check, part)
    return tuple(dict.fromkeys(it.precaution for it in dangers))


def shortest_minutes(practice: Practice) -> float:
    """Return the least minutes in which the fault could be shown and mended: its best check, and its repair.

    Of a call-out on which nothing was done yet. Somebody who knew which check shows the fault would need these.
    """
    fault = practice.call.faults[0]
    repair = practice.call.repair_minutes(fault.cause, fault.part, None)
    shown = [it for it in _showing(practice, fault.cause) if it is not None]
    return min(shown, default=0.0) + repair.minutes - (repair.walk_minutes if shown else 0.0)


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
