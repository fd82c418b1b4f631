"""The steps of one diagnosis, in order: open the case, weigh the findings, rank, plan, explain."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from diag.explain import cause_name, public_part, why
from diag.likelihoods import AS_DESIGNED, SOMETHING_ELSE
from diag.next_checks import cautions_here, next_checks
from diag.observations import (
    Advice,
    Case,
    Diagnosis,
    Finding,
    Observed,
    RankedCause,
    Repair,
)
from diag.ranking import order
from diag.reasoner import PreparedSite, Reasoner
from diag.reasoning import Reasoning, open_case
from diag.weighing import Weight, weigh
from diag.wording import bound_parts, fill_in, name_part

SHOWN_CAUSES = 10
SURE_ENOUGH = 0.65
"""From this probability on the repair of the leading cause is shown beside the next check."""

ESCALATE = (
    "Nothing that is known here fits well. Note what you found and pass the case on; do not change parts on a guess."
)


def diagnose(reasoner: Reasoner, prepared: PreparedSite, case: Case) -> Diagnosis:
    """Return what is most likely wrong, why, and what to check next."""
    return answer(reasoner, open_case(reasoner, prepared, case), case.findings)


def answer(reasoner: Reasoner, reasoning: Reasoning, findings: Sequence[Finding]) -> Diagnosis:
    """Return the diagnosis of an opened case after these findings, without running the rules again.

    Where no symptom is known there is nothing to rank.
    """
    if not reasoning.seen:
        return Diagnosis((), (), (), None, (), None, reasoner.knowledge.version)
    weight = weigh(reasoner, reasoning, findings)
    spots = [(it.cause, it.part) for it in reasoning.hypotheses.open]
    ranked = order(weight.probabilities, spots)
    shown = _shown(reasoning, ranked)
    return Diagnosis(
        symptoms=_public_symptoms(reasoning),
        causes=tuple(_ranked_cause(reasoner, reasoning, weight, place) for place in shown),
        next=next_checks(reasoner, reasoning, weight),
        repair=_repair(reasoner, reasoning, weight, ranked[0]),
        advice=_advice(reasoner, reasoning, weight, shown),
        resumes_at=_resumes_at(reasoning),
        knowledge_version=reasoner.knowledge.version,
    )


def _public_symptoms(reasoning: Reasoning) -> tuple[Observed, ...]:
    return tuple(seen for seen, _ in reasoning.seen)


def _shown(reasoning: Reasoning, ranked: Sequence[int]) -> list[int]:
    """Return the places of the causes that are shown, the likeliest first."""
    always = {AS_DESIGNED, SOMETHING_ELSE}
    hypotheses = reasoning.hypotheses.open
    return [it for at, it in enumerate(ranked) if at < SHOWN_CAUSES or hypotheses[it].cause in always]


def _ranked_cause(reasoner: Reasoner, reasoning: Reasoning, weight: Weight, place: int) -> RankedCause:
    hypothesis = reasoning.hypotheses.open[place]
    scope = reasoning.situation.scope
    return RankedCause(
        cause=hypothesis.cause,
        part=public_part(hypothesis.part),
        part_kind=scope.kind(hypothesis.part),
        name=cause_name(reasoner, hypothesis.cause),
        where=name_part(scope, hypothesis.part),
        probability=float(weight.probabilities[place]),
        why=why(reasoner, reasoning, place, weight.weighed),
    )


def _repair(reasoner: Reasoner, reasoning: Reasoning, weight: Weight, leader: int) -> Repair | None:
    hypothesis = reasoning.hypotheses.open[leader]
    if weight.probabilities[leader] < SURE_ENOUGH or hypothesis.cause == SOMETHING_ELSE:
        return None
    return describe_repair(reasoner, reasoning, hypothesis.cause, hypothesis.part)


def describe_repair(reasoner: Reasoner, reasoning: Reasoning, name: str, part: str) -> Repair:
    """Return the repair of a cause at a part, with its cautions there."""
    cause = reasoner.knowledge.causes[name]
    return Repair(
        cause=cause.id,
        part=public_part(part),
        name=cause.name,
        where=name_part(reasoning.situation.scope, part),
        steps=tuple(cause.remedy),
        proof=tuple(cause.proof),
        minutes=cause.remedy_minutes,
        competence=cause.remedy_competence,
        cautions=cautions_here(reasoning, part, cause.cautions),
    )


def _advice(reasoner: Reasoner, reasoning: Reasoning, weight: Weight, shown: Sequence[int]) -> tuple[Advice, ...]:
    found: dict[str, Advice] = {}
    for firing in reasoning.firings:
        if firing.derived.kind == "advice":
            entry = reasoner.entries[firing.rule]
            bound = bound_parts(firing, reasoner.variables[firing.rule])
            says = fill_in(entry.advise or "", bound, reasoning.situation.scope)
            found.setdefault(says, Advice(firing.rule, says))
    leader = reasoning.hypotheses.open[shown[0]]
    if leader.cause == SOMETHING_ELSE and not _is_confirmed(reasoner, reasoning, weight, shown):
        found[ESCALATE] = Advice(SOMETHING_ELSE, ESCALATE)
    return tuple(sorted(found.values(), key=lambda it: (it.rule, it.says)))


def _is_confirmed(reasoner: Reasoner, reasoning: Reasoning, weight: Weight, shown: Sequence[int]) -> bool:
    """Say whether some answer is one that confirms a cause shown by itself, and speaks for it here."""
    hypotheses, confirming = reasoning.hypotheses.open, reasoner.tables.confirming
    rest = [it.cause for it in hypotheses].index(SOMETHING_ELSE)
    return any(
        it.finding.outcome in confirming.get(hypotheses[place].cause, {}).get(it.finding.check, ())
        and it.chances[place] > it.chances[rest]
        for it in weight.weighed
        for place in shown
    )


def _resumes_at(reasoning: Reasoning) -> datetime | None:
    zones = [part for part in reasoning.situation.parts if reasoning.situation.scope.kind(part) == "zone"]
    times = [reasoning.situation.hold_off(zone).resumes_at for zone in zones]
    return max((time for time in times if time), default=None)
