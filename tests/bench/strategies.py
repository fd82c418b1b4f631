"""Ways to go about a call-out: ours, and the ones it is compared with."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from random import Random

import numpy as np

from diag.doubts import doubts
from diag.likelihoods import SOMETHING_ELSE
from diag.next_checks import next_checks
from diag.next_step import plan
from tests.bench.fault_chart import chart_for
from tests.bench.visits import Strategy, Visit

SURE = 0.6


def ours(visit: Visit) -> None:
    """Look again at an answer that hardly fits the others, once; else do the next step of our plan."""
    weight = visit.weight()
    doubtful = [it for it in doubts(visit.reasoner, weight) if (it.finding.check, it.part) not in visit.checked_again]
    if doubtful:
        visit.checked_again.add((doubtful[0].finding.check, doubtful[0].part))
        visit.check(doubtful[0].finding.check, doubtful[0].part)
        return
    step = plan(visit.reasoner, visit.reasoning(), weight, visit.place).step
    if step.kind == "check":
        visit.check(step.name, step.part)
    elif step.kind == "repair":
        visit.attempt(step.name, step.part)
    else:
        visit.call()


def by_bits(visit: Visit) -> None:
    """Make the check that tells most a minute; try the leading repair when it is likely enough or none is left."""
    reasoning, weight = visit.reasoning(), visit.weight()
    tried = set(visit.tried)
    known = [
        it
        for it, h in enumerate(reasoning.hypotheses.open)
        if h.cause != SOMETHING_ELSE and (h.cause, h.part) not in tried
    ]
    if not known or len(tried) > 8:
        visit.call()
        return
    best = max(known, key=lambda it: weight.probabilities[it])
    offered = next_checks(visit.reasoner, reasoning, weight)
    if weight.probabilities[best] >= SURE or not offered or visit.checks > 20:
        it = reasoning.hypotheses.open[best]
        visit.attempt(it.cause, it.part)
        return
    visit.check(offered[0].check, offered[0].part or _option_part(visit, offered[0].check))


def _option_part(visit: Visit, check: str) -> str:
    return next(part for name, part in visit.reasoning().options.options if name == check)


@dataclass
class FixedOrder:
    """Look for each suspect by its best check in a fixed order; then try repairs in that order; then call."""

    rank: Callable[[Visit, int], float]
    queue: Iterator[tuple[str, ...]] | None = None
    pending: list[tuple[str, str]] = field(default_factory=list)

    def __call__(self, visit: Visit) -> None:
        """Do the next thing."""
        if self.queue is None:
            self.queue = iter(self._plan(visit))
        if self.pending:
            visit.attempt(*self.pending.pop(0))
            return
        thing = next(self.queue, None)
        if thing is None:
            visit.call()
        elif thing[0] == "try":
            if (thing[1], thing[2]) not in visit.tried:
                visit.attempt(thing[1], thing[2])
        else:
            self._look(visit, thing)

    def _look(self, visit: Visit, thing: tuple[str, ...]) -> None:
        _, check, at, outcome, cause, part = thing
        known = {(it.check, it.part): it.outcome for it in visit.findings}
        found = known.get((check, at)) or visit.check(check, at)
        if (check, at) in known:
            found = next((it.finding.outcome for it in visit.weight().weighed if it.finding.check == check), found)
        if found == outcome and (cause, part) not in visit.tried:
            self.pending.append((cause, part))

    def _plan(self, visit: Visit) -> list[tuple[str, ...]]:
        hypotheses = visit.reasoning().hypotheses.open
        places = [it for it, h in enumerate(hypotheses) if h.cause != SOMETHING_ELSE]
        places.sort(key=lambda it: (-self.rank(visit, it), it))
        looks = [("look", *best_look(visit, it), hypotheses[it].cause, hypotheses[it].part) for it in places]
        tries = [("try", hypotheses[it].cause, hypotheses[it].part) for it in places]
        return [*looks, *tries[:8]]


def best_look(visit: Visit, place: int) -> tuple[str, str, str]:
    """Return the check, its part and the outcome that tell most for one hypothesis."""
    reasoning = visit.reasoning()
    hypothesis = reasoning.hypotheses.open[place]
    chances = reasoning.options.chances
    p = chances[:, place, :]
    rest = chances.mean(axis=1)
    gain = np.where(p > 0, p * np.log2(np.maximum(p, 1e-9) / np.maximum(rest, 1e-9)), 0.0)
    own = {it.check for it in visit.reasoner.knowledge.causes[hypothesis.cause].checks}
    open_ = np.array([check in own for check, _ in reasoning.options.options])
    gain[~open_] = -1.0
    option, outcome = np.unravel_index(int(gain.argmax()), gain.shape)
    check, part = reasoning.options.options[int(option)]
    return check, part, visit.reasoner.knowledge.checks[check].outcomes[int(outcome)].id


def look_minutes(visit: Visit, place: int) -> float:
    """Return the minutes of the best look for a hypothesis, without walking."""
    check, _, _ = best_look(visit, place)
    return 3.0 + visit.reasoner.knowledge.checks[check].minutes


def by_probability_for_minutes() -> FixedOrder:
    """Return the best fixed order: probability after the complaint, for the minutes of the look."""
    return FixedOrder(lambda visit, it: visit.reasoning().hypotheses.open[it].weight / look_minutes(visit, it))


def by_base_rate() -> FixedOrder:
    """Return the order of how common the causes are, whatever the complaint."""
    return FixedOrder(base_rate)


def base_rate(visit: Visit, place: int) -> float:
    """Return how common the cause of a hypothesis is."""
    return visit.reasoner.knowledge.causes[visit.reasoning().hypotheses.open[place].cause].base_rate.per_thousand


def at_random(seed: int) -> FixedOrder:
    """Return a random order."""
    dice = Random(seed)
    return FixedOrder(lambda _visit, _it: dice.random())


def follow_chart() -> Strategy:
    """Return the way of the printed chart: its checks in order; an abnormal outcome leads to the causes it names."""
    return PrintedChart()


class PrintedChart:
    """Follow a printed fault-finding chart: its checks in order; an abnormal outcome leads to the causes it names."""

    def __init__(self) -> None:
        self.steps: Iterator[str] | None = None
        self.pending: list[tuple[str, ...]] = []
        self.then: FixedOrder | None = None

    def __call__(self, visit: Visit) -> None:
        """Do the next thing on the chart; past its end, go on by base rate."""
        if self.steps is None:
            self.steps = iter(chart_for(visit.call_out.symptoms[0].symptom))
        if self.pending:
            self._follow(visit, self.pending.pop(0))
            return
        check = next(self.steps, None)
        if check is None:
            self.then = self.then or by_base_rate()
            self.then(visit)
            return
        parts = [part for name, part in visit.reasoning().options.options if name == check]
        for part in parts[:1]:
            self._note(visit, check, part, visit.check(check, part))

    def _note(self, visit: Visit, check: str, part: str, found: str) -> None:
        entry = next((it for it in visit.reasoner.knowledge.checks[check].outcomes if it.id == found), None)
        if entry is None or entry.healthy in ("always", "usually", "often"):
            return
        reasoning = visit.reasoning()
        option = reasoning.options.options.index((check, part))
        outcome = [it.id for it in visit.reasoner.knowledge.checks[check].outcomes].index(found)
        causes = visit.reasoner.knowledge.causes
        named = [
            place
            for place, it in enumerate(reasoning.hypotheses.open)
            if it.cause in causes and reasoning.options.chances[option, place, outcome] >= 0.3
        ]
        named.sort(key=lambda it: -causes[reasoning.hypotheses.open[it].cause].base_rate.per_thousand)
        for place in named[:6]:
            it = reasoning.hypotheses.open[place]
            look = best_look(visit, place)
            self.pending.append(
                ("look", *look, it.cause, it.part) if look[:2] != (check, part) else ("try", it.cause, it.part)
            )

    def _follow(self, visit: Visit, thing: tuple[str, ...]) -> None:
        if thing[0] == "try":
            if (thing[1], thing[2]) not in visit.tried:
                visit.attempt(thing[1], thing[2])
            return
        _, check, at, outcome, cause, part = thing
        if any((it.check, it.part) == (check, at) for it in visit.findings):
            return
        if visit.check(check, at) == outcome:
            self.pending.insert(0, ("try", cause, part))
