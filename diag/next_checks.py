"""Put the checks worth making next into words: where, how, what to expect, what to beware of, why now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import islice

import numpy as np

from diag.crew import Crew
from diag.expectations import expect
from diag.explain import cause_name, public_part
from diag.likelihoods import Floats
from diag.observations import NextCheck, OutcomeChoice
from diag.options import Option
from diag.planning import Choice, best_first, information_bits
from diag.reasoner import Reasoner
from diag.reasoning import Reasoning, place_of_check
from diag.scope import is_stand_in
from diag.weighing import Weight
from diag.wording import name_part

SMOKE_CAUTION = "life-safety"
SHOWN_CHECKS = 5
ANSWER_MINUTES = 3.0
"""What any answer costs besides its own minutes: reading, thinking, typing. Without it many small questions win over
one good look; judgement, from walks over all hypotheses of the demo sites."""
LEADERS = 4
"""How many of the likeliest causes a check is said to tell apart."""


def next_checks(reasoner: Reasoner, reasoning: Reasoning, weight: Weight) -> tuple[NextCheck, ...]:
    """Return the checks worth making, best first."""
    options = reasoning.options
    done = reasoning.known | _made(options.options, weight.answered)
    start = standing_at(reasoner, reasoning, weight)
    walks = {place: reasoning.prepared.walks.minutes(start, place) for place in {*reasoning.places}}
    minutes = [
        ANSWER_MINUTES + reasoner.knowledge.checks[check].minutes + walks[place]
        for (check, _), place in zip(options.options, reasoning.places, strict=True)
    ]
    crew, checks = reasoning.situation.case.there, reasoner.knowledge.checks
    if crew != Crew():
        done |= {at for at, (check, _) in enumerate(options.options) if not crew.can_make(checks[check])}
    choices = list(islice(best_first(information_bits(weight.probabilities, options), minutes, done), SHOWN_CHECKS))
    reasons = _why_now(reasoner, reasoning, weight.probabilities, choices)
    return tuple(
        replace(
            described_check(reasoner, reasoning, options.options[choice.place]),
            walk_minutes=walks[reasoning.places[choice.place]],
            bits=choice.bits,
            why_now=reason,
        )
        for choice, reason in zip(choices, reasons, strict=True)
    )


def check_now(reasoner: Reasoner, reasoning: Reasoning, weight: Weight, option: Option) -> NextCheck:
    """Return any check that is open here as it stands now: the walk to it, and what it would tell."""
    place, start = reasoning.options.place_of(option), standing_at(reasoner, reasoning, weight)
    walk = reasoning.prepared.walks.minutes(start, reasoning.places[place])
    bits = float(information_bits(weight.probabilities, reasoning.options)[place])
    choice = Choice(place, bits, ANSWER_MINUTES + reasoner.knowledge.checks[option[0]].minutes + walk)
    reason = _why_now(reasoner, reasoning, weight.probabilities, [choice])[0]
    return replace(described_check(reasoner, reasoning, option), walk_minutes=walk, bits=bits, why_now=reason)


def cautions_here(reasoning: Reasoning, part: str, hazards: Sequence[str]) -> tuple[str, ...]:
    """Return the hazards without that of smoke ventilation where the controller is known to serve none."""
    scope, described = reasoning.situation.scope, reasoning.situation.described
    controller = scope.controller_near(part)
    serves = None if is_stand_in(controller) else described.fields(controller)["serves_smoke"]
    return tuple(it for it in hazards if it != SMOKE_CAUTION or serves != "no")


def _made(options: Sequence[Option], answered: Sequence[Option]) -> frozenset[int]:
    return frozenset(at for at, option in enumerate(options) if option in answered) if answered else frozenset()


def standing_at(reasoner: Reasoner, reasoning: Reasoning, weight: Weight) -> str | None:
    """Return where the last check was made that has a place; None at the start."""
    situation, prepared = reasoning.situation, reasoning.prepared
    places = [place_of_check(reasoner, prepared, situation, check, part) for check, part in weight.answered]
    return next((place for place in reversed(places) if place), None)


def described_check(reasoner: Reasoner, reasoning: Reasoning, option: Option) -> NextCheck:
    """Return a check without what depends on the moment; kept in the scope unless its reading is one of time."""
    if reasoner.knowledge.checks[option[0]].expects == "hold-off":
        return _describe(reasoner, reasoning, option)
    return reasoning.situation.scope.keep(("check", option), lambda: _describe(reasoner, reasoning, option))


def _describe(reasoner: Reasoner, reasoning: Reasoning, option: Option) -> NextCheck:
    check, part = reasoner.knowledge.checks[option[0]], option[1]
    situation, places = reasoning.situation, reasoning.prepared.site.places
    place = place_of_check(reasoner, reasoning.prepared, situation, check.id, part)
    expected = expect(check, situation, part).text
    return NextCheck(
        check=check.id,
        part=public_part(part),
        part_kind=situation.scope.kind(part),
        name=check.name,
        where=name_part(situation.scope, part),
        question=check.question,
        how=check.how,
        place=(places[place].name or place) if place in places else place or "",
        minutes=check.minutes,
        walk_minutes=0.0,
        tools=tuple(check.tools),
        competence=check.competence,
        expect=expected,
        cautions=cautions_here(reasoning, part, check.hazards),
        outcomes=tuple(OutcomeChoice(it.id, _label(it.label, expected), it.means) for it in check.outcomes),
        unit=check.reading.unit if check.reading else None,
        bits=0.0,
        why_now="",
    )


def _label(label: str, expected: str) -> str:
    """Return the label; a healthy one that only repeats the expected reading is cut short, for that stands above it."""
    return label.removesuffix(": {expect}").replace("{expect}", expected.rstrip("."))


def _why_now(reasoner: Reasoner, reasoning: Reasoning, probabilities: Floats, choices: Sequence[Choice]) -> list[str]:
    """Return, for each check, one sentence on which two of the likeliest causes it settles between."""
    leaders = np.argsort(-probabilities, kind="stable")[:LEADERS]
    names = [cause_name(reasoner, reasoning.hypotheses.open[int(it)].cause) for it in leaders]
    pairs = [
        (one, other) for one in range(len(names)) for other in range(one + 1, len(names)) if names[one] != names[other]
    ]
    if not pairs:
        return [f"It confirms or clears “{names[0]}” in {_minutes(choice)}." for choice in choices]
    ones, others = np.array(pairs).T
    chances = reasoning.options.chances[[choice.place for choice in choices]][:, leaders]
    apart = np.abs(chances[:, ones] - chances[:, others]).sum(axis=2) * probabilities[leaders[others]]
    best = [pairs[int(it)] for it in apart.argmax(axis=1)] if choices else []
    return [
        f"It tells “{names[one]}” from “{names[other]}” in {_minutes(choice)}."
        for choice, (one, other) in zip(choices, best, strict=True)
    ]


def _minutes(choice: Choice) -> str:
    minutes = round(choice.minutes - ANSWER_MINUTES)
    return "about a minute" if minutes <= 1 else f"about {minutes} minutes"
