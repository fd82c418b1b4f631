"""The steps of one diagnosis, in order: open the case, weigh the findings, rank, plan, explain."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from diag.expectations import expect
from diag.explain import cause_name, public_part, why, why_now
from diag.likelihoods import AS_DESIGNED, SOMETHING_ELSE
from diag.observations import (
    Advice,
    Case,
    Diagnosis,
    Finding,
    NextCheck,
    Observed,
    OutcomeChoice,
    RankedCause,
    Repair,
)
from diag.planning import Choice, best_first, information_bits
from diag.ranking import order
from diag.reasoner import PreparedSite, Reasoner
from diag.reasoning import Reasoning, open_case, place_of_check
from diag.scope import is_stand_in
from diag.weighing import Weight, weigh
from diag.wording import bound_parts, fill_in, name_part

SMOKE_CAUTION = "life-safety"
SHOWN_CAUSES = 10
SHOWN_CHECKS = 5
SURE_ENOUGH = 0.80
"""From this probability on the repair of the leading cause is shown beside the next check."""

ANSWER_MINUTES = 3.0
"""What any answer costs besides its own minutes: reading, thinking, typing. Without it many small questions win over
one good look; judgement, from walks over all hypotheses of the demo sites."""

ESCALATE = (
    "Nothing that is known here fits well. Note what you found and pass the case on; do not change parts on a guess."
)


def diagnose(reasoner: Reasoner, prepared: PreparedSite, case: Case) -> Diagnosis:
    """Return what is most likely wrong, why, and what to check next."""
    return answer(reasoner, open_case(reasoner, prepared, case), case.findings)


def answer(reasoner: Reasoner, reasoning: Reasoning, findings: Sequence[Finding]) -> Diagnosis:
    """Return the diagnosis of an opened case after these findings, without running the rules again."""
    weight = weigh(reasoner, reasoning, findings)
    spots = [(it.cause, it.part) for it in reasoning.hypotheses.open]
    ranked = order(weight.probabilities, spots)
    return Diagnosis(
        symptoms=_public_symptoms(reasoning),
        causes=_causes(reasoner, reasoning, weight, ranked),
        next=_next_checks(reasoner, reasoning, weight),
        repair=_repair(reasoner, reasoning, weight, ranked[0]),
        advice=_advice(reasoner, reasoning, ranked[0]),
        resumes_at=_resumes_at(reasoning),
        knowledge_version=reasoner.knowledge.version,
    )


def _public_symptoms(reasoning: Reasoning) -> tuple[Observed, ...]:
    return tuple(seen for seen, _ in reasoning.seen)


def _causes(reasoner: Reasoner, reasoning: Reasoning, weight: Weight, ranked: list[int]) -> tuple[RankedCause, ...]:
    always = {AS_DESIGNED, SOMETHING_ELSE}
    hypotheses = reasoning.hypotheses.open
    shown = [it for at, it in enumerate(ranked) if at < SHOWN_CAUSES or hypotheses[it].cause in always]
    return tuple(_ranked_cause(reasoner, reasoning, weight, place) for place in shown)


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


def _next_checks(reasoner: Reasoner, reasoning: Reasoning, weight: Weight) -> tuple[NextCheck, ...]:
    options = reasoning.options
    answered = set(weight.answered)
    done = frozenset(
        place
        for place, option in enumerate(options.options)
        if option in answered or _is_known(reasoner, reasoning, *option)
    )
    start = _standing_at(reasoner, reasoning, weight)
    walks = {place: reasoning.prepared.walks.minutes(start, place) for place in {*reasoning.places}}
    minutes = [
        ANSWER_MINUTES + reasoner.knowledge.checks[check].minutes + walks[place]
        for (check, _), place in zip(options.options, reasoning.places, strict=True)
    ]
    choices = best_first(information_bits(weight.probabilities, options), minutes, done)
    return tuple(_next_check(reasoner, reasoning, weight, choice, start) for choice in choices[:SHOWN_CHECKS])


def _is_known(reasoner: Reasoner, reasoning: Reasoning, check: str, part: str) -> bool:
    """Return whether the commands of the case already answer a check, so that it need not be asked."""
    if reasoner.knowledge.checks[check].expects != "hold-off" or reasoning.situation.scope.kind(part) != "zone":
        return False
    return reasoning.situation.hold_off(part).state in ("running", "over")


def _standing_at(reasoner: Reasoner, reasoning: Reasoning, weight: Weight) -> str | None:
    situation, prepared = reasoning.situation, reasoning.prepared
    places = [place_of_check(reasoner, prepared, situation, check, part) for check, part in weight.answered]
    return next((place for place in reversed(places) if place), None)


def _next_check(
    reasoner: Reasoner, reasoning: Reasoning, weight: Weight, choice: Choice, start: str | None
) -> NextCheck:
    check_id, part = reasoning.options.options[choice.place]
    check = reasoner.knowledge.checks[check_id]
    scope = reasoning.situation.scope
    expectation = expect(check, reasoning.situation, part)
    place = reasoning.places[choice.place]
    places = reasoning.prepared.site.places
    return NextCheck(
        check=check.id,
        part=public_part(part),
        part_kind=scope.kind(part),
        name=check.name,
        where=name_part(scope, part),
        question=check.question,
        how=check.how,
        place=(places[place].name or place) if place in places else place or "",
        minutes=check.minutes,
        walk_minutes=reasoning.prepared.walks.minutes(start, place),
        tools=tuple(check.tools),
        competence=check.competence,
        expect=expectation.text,
        cautions=_cautions(reasoning, part, check.hazards),
        outcomes=tuple(OutcomeChoice(it.id, _label(it.label, expectation.text), it.means) for it in check.outcomes),
        unit=check.reading.unit if check.reading else None,
        bits=choice.bits,
        why_now=why_now(reasoner, reasoning, weight.probabilities, choice.place, choice.minutes),
    )


def _cautions(reasoning: Reasoning, part: str, hazards: Sequence[str]) -> tuple[str, ...]:
    """Return the hazards without that of smoke ventilation where the controller is known to serve none."""
    scope, described = reasoning.situation.scope, reasoning.situation.described
    controller = scope.controller_near(part)
    serves = None if is_stand_in(controller) else described.fields(controller)["serves_smoke"]
    return tuple(it for it in hazards if it != SMOKE_CAUTION or serves != "no")


def _label(label: str, expected: str) -> str:
    return label.replace("{expect}", expected.rstrip("."))


def _repair(reasoner: Reasoner, reasoning: Reasoning, weight: Weight, leader: int) -> Repair | None:
    hypothesis = reasoning.hypotheses.open[leader]
    if weight.probabilities[leader] < SURE_ENOUGH or hypothesis.cause == SOMETHING_ELSE:
        return None
    cause = reasoner.knowledge.causes[hypothesis.cause]
    return Repair(
        cause=cause.id,
        part=public_part(hypothesis.part),
        name=cause.name,
        where=name_part(reasoning.situation.scope, hypothesis.part),
        steps=tuple(cause.remedy),
        proof=tuple(cause.proof),
        minutes=cause.remedy_minutes,
        competence=cause.remedy_competence,
        cautions=_cautions(reasoning, hypothesis.part, cause.cautions),
    )


def _advice(reasoner: Reasoner, reasoning: Reasoning, leader: int) -> tuple[Advice, ...]:
    found: dict[str, Advice] = {}
    for firing in reasoning.firings:
        entry = reasoner.entries[firing.rule]
        if entry.advise:
            bound = bound_parts(firing, reasoner.variables[firing.rule])
            says = fill_in(entry.advise, bound, reasoning.situation.scope)
            found.setdefault(says, Advice(firing.rule, says))
    if reasoning.hypotheses.open[leader].cause == SOMETHING_ELSE:
        found[ESCALATE] = Advice(SOMETHING_ELSE, ESCALATE)
    return tuple(sorted(found.values(), key=lambda it: (it.rule, it.says)))


def _resumes_at(reasoning: Reasoning) -> datetime | None:
    zones = [part for part in reasoning.situation.parts if reasoning.situation.scope.kind(part) == "zone"]
    times = [reasoning.situation.hold_off(zone).resumes_at for zone in zones]
    return max((time for time in times if time), default=None)
