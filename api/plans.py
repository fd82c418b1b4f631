"""Report the plan of a case: the best step now, answers worth a second look, and two faults where one is too few."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from api.languages import translated_plan
from api.plan_shapes import ChoiceOut, DoubtOut, PairOut, PlannedDiagnosisOut, PlanOut, StepOut, SuspectOut
from api.reports import check_out, repair_out, rounded
from api.schemas import DiagnosisOut
from diag.crew import FOR_TWO
from diag.diagnose import describe_repair
from diag.doubts import Doubt, doubts
from diag.explain import cause_name, public_part
from diag.likelihoods import SOMETHING_ELSE
from diag.next_checks import check_now, described_check, standing_at
from diag.next_step import Choice, Plan, plan
from diag.observations import Finding, NextCheck, Repair
from diag.pairs import Pair, plausible_pairs
from diag.reasoner import Reasoner
from diag.reasoning import Reasoning
from diag.weighing import Weight, weigh
from diag.wording import name_part
from knowledge.translations import Translation

SHOWN_PAIRS = 3
CALL, SEND = "Call for help", "Send somebody"
WHO = {
    "ordinary": "anybody",
    "instructed": "an instructed person",
    "skilled": "a skilled person",
    "fire": "a person competent in fire systems",
}
"""Who may make a repair, in words."""
STILL_ENGLISH = "says"
"""The sentences of a plan are written in English only."""


@dataclass(frozen=True)
class Outlook:
    """A plan with the check or the repair it puts first in full, neither for a call for help; doubts and pairs."""

    planned: Plan
    check: NextCheck | None
    repair: Repair | None
    doubtful: tuple[Doubt, ...]
    pairs: tuple[Pair, ...]


def with_plan(
    answered: DiagnosisOut,
    reasoner: Reasoner,
    reasoning: Reasoning,
    findings: Sequence[Finding],
    words: Translation | None = None,
) -> PlannedDiagnosisOut:
    """Return an answer with its plan in the same language; None stands for English."""
    shown = {**dict(answered), "in_english": [*answered.in_english, *([STILL_ENGLISH] if words else [])]}
    return PlannedDiagnosisOut(**shown, plan=plan_of(reasoner, reasoning, findings, words))


def plan_of(
    reasoner: Reasoner, reasoning: Reasoning, findings: Sequence[Finding], words: Translation | None = None
) -> PlanOut | None:
    """Return the plan of an opened case in the shape callers get; None where no symptom is known."""
    outlook = look_out(reasoner, reasoning, findings)
    if outlook is None:
        return None
    planned = plan_out(reasoner, reasoning, outlook)
    return translated_plan(planned, words) if words else planned


def look_out(reasoner: Reasoner, reasoning: Reasoning, findings: Sequence[Finding]) -> Outlook | None:
    """Return the plan of an opened case after these findings; None where no symptom is known."""
    if not reasoning.seen:
        return None
    weight = weigh(reasoner, reasoning, findings)
    planned = for_those_there(
        reasoner, reasoning, weight, plan(reasoner, reasoning, weight, standing_at(reasoner, reasoning, weight))
    )
    it, pairs = planned.step, plausible_pairs(reasoner, reasoning, weight)[:SHOWN_PAIRS]
    check = check_now(reasoner, reasoning, weight, (it.name, it.part)) if it.kind == "check" else None
    repair = describe_repair(reasoner, reasoning, it.name, it.part) if it.kind == "repair" else None
    return Outlook(planned, check, repair, doubts(reasoner, weight), pairs)


def for_those_there(reasoner: Reasoner, reasoning: Reasoning, weight: Weight, planned: Plan) -> Plan:
    """Return the plan; who is alone is told of a repair for two, and who only talks to a lay person whom to send."""
    there, step = reasoning.situation.case.there, planned.step
    if step.kind == "repair" and there.alone and FOR_TWO & set(reasoner.knowledge.causes[step.name].cautions):
        return replace(planned, says=f"{planned.says} Have a second person there before you begin.")
    if step.kind != "call" or not there.remote:
        return planned
    it = reasoning.hypotheses.open[int(weight.probabilities.argmax())]
    likely = "Nothing that is known fits well so far."
    if it.cause != SOMETHING_ELSE:
        where, who = (
            name_part(reasoning.situation.scope, it.part),
            reasoner.knowledge.causes[it.cause].remedy_competence,
        )
        likely = f"Most likely it is “{cause_name(reasoner, it.cause)}” at {where}; mending that is for {WHO[who]}."
    return replace(planned, says=f"Send somebody: nothing a lay person can still check there shortens it. {likely}")


def plan_out(reasoner: Reasoner, reasoning: Reasoning, outlook: Outlook) -> PlanOut:
    """Return a plan in the shape callers get."""
    return PlanOut(
        step=_step(reasoner, reasoning, outlook),
        otherwise=[ChoiceOut(**_choice(reasoner, reasoning, it)) for it in outlook.planned.otherwise],
        doubtful=[_doubt(reasoner, reasoning, it) for it in outlook.doubtful],
        pairs=[_pair(reasoner, reasoning, it) for it in outlook.pairs],
    )


def _step(reasoner: Reasoner, reasoning: Reasoning, it: Outlook) -> StepOut:
    return StepOut(
        **_choice(reasoner, reasoning, it.planned.step),
        says=it.planned.says,
        check=check_out(reasoner.knowledge, it.check) if it.check else None,
        repair=repair_out(reasoner.knowledge, it.repair) if it.repair else None,
    )


def _choice(reasoner: Reasoner, reasoning: Reasoning, it: Choice) -> dict[str, Any]:
    return {
        "kind": it.kind,
        "id": it.name or None,
        "part": public_part(it.part),
        "name": _name(reasoner, reasoning, it),
        "where": name_part(reasoning.situation.scope, it.part),
        "minutes": round(it.minutes, 1),
    }


def _name(reasoner: Reasoner, reasoning: Reasoning, it: Choice) -> str:
    if it.kind == "call":
        return SEND if reasoning.situation.case.there.remote else CALL
    return cause_name(reasoner, it.name) if it.kind == "repair" else reasoner.knowledge.checks[it.name].name


def _doubt(reasoner: Reasoner, reasoning: Reasoning, it: Doubt) -> DoubtOut:
    check, where = reasoner.knowledge.checks[it.finding.check], name_part(reasoning.situation.scope, it.part)
    label = _label(reasoner, reasoning, it)
    return DoubtOut(
        check=check.id,
        part=public_part(it.part),
        name=check.name,
        where=where,
        outcome=it.finding.outcome,
        label=label,
        probability=rounded(min(it.chance, 1.0)),
        says=f"“{label}” for “{check.name}” at {where} hardly fits the other answers. Look again.",
    )


def _label(reasoner: Reasoner, reasoning: Reasoning, it: Doubt) -> str:
    offered = described_check(reasoner, reasoning, (it.finding.check, it.part)).outcomes
    return next(one.label for one in offered if one.id == it.finding.outcome)


def _pair(reasoner: Reasoner, reasoning: Reasoning, it: Pair) -> PairOut:
    first, second = (_suspect(reasoner, reasoning, place) for place in (it.first, it.second))
    return PairOut(
        causes=[first, second],
        probability=rounded(it.probability),
        says=f"Two faults may be present at once: “{first.name}” at {first.where} and “{second.name}” at "
        f"{second.where} ({it.probability:.0%}).",
    )


def _suspect(reasoner: Reasoner, reasoning: Reasoning, place: int) -> SuspectOut:
    it = reasoning.hypotheses.open[place]
    where = name_part(reasoning.situation.scope, it.part)
    return SuspectOut(id=it.cause, part=public_part(it.part), name=cause_name(reasoner, it.cause), where=where)
