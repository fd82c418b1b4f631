"""Plan the next step of a case: a check, an attempt at a repair, or a call for help, by the minutes it takes in all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from diag.crew import Crew, fetch_minutes
from diag.explain import cause_name, public_part
from diag.likelihoods import SOMETHING_ELSE, Floats
from diag.options import Option
from diag.ranking import DECIMALS
from diag.reasoner import Reasoner
from diag.reasoning import Reasoning
from diag.repair_planning import NEVER, Outlook, Prices, Prospect, look_ahead
from diag.topology import SITE_PART
from diag.weighing import Weight
from diag.wording import name_part

READING_MINUTES = 1.0
"""To read a check, decide, and note what it showed; judgement."""
PROOF_MINUTES = 5.0
"""To run the proving movement and watch it; judgement."""
IN_VAIN_MINUTES, HARMLESS_IN_VAIN_MINUTES = 6.0, 2.0
"""What a repair in vain costs beyond its minutes: a good part taken out, trust; less where only a setting or an
explanation was tried. Judgement; on virtual call-outs 5 cost fewer minutes than 0 and 10 with as few repairs."""
CALL_MINUTES = 480.0
"""The price of calling for help: somebody else comes another day; judgement."""
SHOWN_ALTERNATIVES = 3
DEPTH = 1
"""How many checks are looked ahead; two cost three times the time and saved no minutes on virtual call-outs."""


@dataclass(frozen=True, slots=True)
class Choice:
    """Something that can be done next and the minutes expected from there to a proved repair.

    `name` is a check or a cause by id, with the part as the reasoning knows it.
    """

    kind: Literal["check", "repair", "call"]
    name: str
    part: str
    minutes: float


@dataclass(frozen=True, slots=True)
class Plan:
    """The next step, why in one sentence, and what to do when it cannot be done."""

    step: Choice
    says: str
    otherwise: tuple[Choice, ...]


def plan(
    reasoner: Reasoner,
    reasoning: Reasoning,
    weight: Weight,
    start: str | None = None,
    crew: Crew | None = None,
) -> Plan:
    """Return what to do next for a crew that stands at a place, and alternatives, the least minutes first."""
    choices = choices_of(reasoner, reasoning, weight, start, crew or reasoning.situation.case.there)
    step = choices[0]
    others = [it for it in choices[1:] if it.kind != "call"][:SHOWN_ALTERNATIVES]
    return Plan(step, _says(reasoner, reasoning, step), tuple(others))


def choices_of(reasoner: Reasoner, reasoning: Reasoning, weight: Weight, start: str | None, crew: Crew) -> list[Choice]:
    """Return all that can be done next, the least expected minutes first; of equals a call, then checks in order."""
    left = _open_checks(reasoner, reasoning, weight, crew)
    prospect = prospect_of(reasoner, reasoning, weight, start, left, crew)
    found = _listed(reasoning, left, look_ahead(prospect, DEPTH))
    found = _by_telephone(reasoner, found) if crew.remote else found
    return sorted(found, key=lambda it: round(it.minutes, DECIMALS))


def _by_telephone(reasoner: Reasoner, found: Sequence[Choice]) -> list[Choice]:
    """Return what a lay person can do; all other repairs come to sending somebody with what is known by then."""
    causes = reasoner.knowledge.causes
    sent = [it for it in found if it.kind == "repair" and causes[it.name].remedy_competence != "ordinary"]
    least = min(it.minutes for it in found if it in sent or it.kind == "call")
    return [replace(it, minutes=least) if it.kind == "call" else it for it in found if it not in sent]


def _listed(reasoning: Reasoning, left: Sequence[int], outlook: Outlook) -> list[Choice]:
    options, hypotheses = reasoning.options.options, reasoning.hypotheses.open
    checks = [Choice("check", *options[at], float(it)) for at, it in zip(left, outlook.checks, strict=True)]
    repairs = [
        Choice("repair", it.cause, it.part, float(minutes))
        for it, minutes in zip(hypotheses, outlook.attempts, strict=True)
        if minutes < NEVER
    ]
    return [Choice("call", "", SITE_PART, outlook.call), *checks, *repairs]


def _open_checks(reasoner: Reasoner, reasoning: Reasoning, weight: Weight, crew: Crew) -> list[int]:
    """Return the options neither answered nor beyond the crew; a question once answered is not asked elsewhere."""
    answered = set(weight.answered)
    asked = {check for check, _ in answered if reasoner.knowledge.checks[check].kind == "ask"}
    return [
        place
        for place, option in enumerate(reasoning.options.options)
        if place not in reasoning.known
        and option not in answered
        and option[0] not in asked
        and crew.can_make(reasoner.knowledge.checks[option[0]])
    ]


def prospect_of(
    reasoner: Reasoner,
    reasoning: Reasoning,
    weight: Weight,
    start: str | None,
    left: Sequence[int],
    crew: Crew,
) -> Prospect:
    """Return the checks that are left and the repairs of a case with their minutes for a crew at a place."""
    checks = reasoner.knowledge.checks
    walks = {place: reasoning.prepared.walks.minutes(start, place) for place in {*reasoning.places}}
    at_hand = {tool for check, _ in weight.answered for tool in checks[check].tools}
    own = [_minutes(reasoner, reasoning.options.options[place], at_hand) for place in left]
    minutes = np.array([it + walks[reasoning.places[at]] for it, at in zip(own, left, strict=True)])
    tries = repair_prices(reasoner, reasoning, crew)
    there = np.array([_walk_to_repair(reasoning, start, it.part) for it in reasoning.hypotheses.open])
    vain = np.where(tries < NEVER, [_in_vain(reasoner, it.cause) for it in reasoning.hypotheses.open], 0.0)
    prices = Prices(tries + there + vain, -vain, CALL_MINUTES)
    chances = reasoning.options.chances[list(left)]
    later = _next_minutes(reasoning, own, left, start) if DEPTH > 1 else None
    return Prospect(_beliefs_left(reasoning, weight), chances, minutes, prices, 0.0, later)


def _beliefs_left(reasoning: Reasoning, weight: Weight) -> Floats:
    """Return the posterior without the causes whose repair was tried and proved to be in vain.

    Some share of repairs fail, and their causes keep it in the ranking; a plan cannot act on them again.
    """
    done = _tried(reasoning)
    kept = np.array([(it.cause, it.part) not in done for it in reasoning.hypotheses.open])
    beliefs: Floats = np.where(kept, weight.probabilities, 0.0)
    result: Floats = beliefs / beliefs.sum()
    return result


def _in_vain(reasoner: Reasoner, cause: str) -> float:
    entry = reasoner.knowledge.causes.get(cause)
    harmless = entry is not None and (entry.as_designed or entry.family == "settings")
    return HARMLESS_IN_VAIN_MINUTES if harmless else IN_VAIN_MINUTES


def _walk_to_repair(reasoning: Reasoning, start: str | None, part: str) -> float:
    walks = reasoning.prepared.walks
    return walks.minutes(start, walks.place_of_part(part))


def _next_minutes(reasoning: Reasoning, own: Sequence[float], left: Sequence[int], start: str | None) -> Floats:
    """Return the minutes of each check after each other one: whoever stands on the roof has to come down again."""
    walks = reasoning.prepared.walks
    places = [reasoning.places[at] for at in left]
    between = {(one, other): walks.minutes(one or start, other) for one in {*places} for other in {*places}}
    table = np.array([[between[one, other] for other in places] for one in places]).reshape(len(left), len(left))
    result: Floats = table + np.array(own)
    return result


def _minutes(reasoner: Reasoner, option: Option, at_hand: set[str]) -> float:
    check = reasoner.knowledge.checks[option[0]]
    return READING_MINUTES + check.minutes + fetch_minutes(check, at_hand)


def repair_prices(reasoner: Reasoner, reasoning: Reasoning, crew: Crew) -> Floats:
    """Return the minutes of trying each repair and seeing whether it helped; what failed is not tried again."""
    causes = reasoner.knowledge.causes
    tried = _tried(reasoning)
    return np.array(
        [
            NEVER
            if it.cause == SOMETHING_ELSE
            or (it.cause, it.part) in tried
            or not crew.can_mend(causes[it.cause].remedy_competence)
            else causes[it.cause].remedy_minutes + PROOF_MINUTES
            for it in reasoning.hypotheses.open
        ]
    )


def _tried(reasoning: Reasoning) -> set[tuple[str, str]]:
    return {(cause, part or SITE_PART) for cause, part in reasoning.situation.case.repaired}


def _says(reasoner: Reasoner, reasoning: Reasoning, step: Choice) -> str:
    if step.kind == "call":
        return "No check or repair that is left is worth its time. Pass the case on with what you found."
    where = name_part(reasoning.situation.scope, step.part)
    if step.kind == "repair":
        name = cause_name(reasoner, step.name)
        if reasoner.knowledge.causes[step.name].as_designed:
            return f"Explain “{name}” at {where} and see whether that settles it; no check is quicker now."
        return f"Mending “{name}” at {where} and trying it is quicker now than any further check."
    check = reasoner.knowledge.checks[step.name]
    near = "" if public_part(step.part) is None else f" at {where}"
    return f"“{check.name}”{near} starts the shortest way to a proved repair, about {step.minutes:.0f} minutes in all."
