"""Cases cut down until the best plan can be worked out: what our planner costs beside the exact optimum."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from diag.likelihoods import SOMETHING_ELSE
from diag.reasoning import Reasoning
from diag.repair_planning import NEVER, Prices, Prospect, best_step, bits_told

HYPOTHESES, CHECKS = 4, 4

State = tuple[tuple[int, ...], frozenset[int]]
"""For each check the outcome it had, or -1 when it is not made yet; and the hypotheses tried in vain."""


@dataclass(frozen=True)
class Plain:
    """A prospect in lists: `chances[check][outcome][hypothesis]`."""

    beliefs: list[float]
    chances: list[list[list[float]]]
    minutes: list[float]
    look: list[float]
    mend: list[float]


@dataclass
class SmallCase:
    """A prospect small enough to look at every course it can take; walks are left out."""

    prospect: Prospect
    kept: dict[State, float] = field(default_factory=dict)

    @cached_property
    def plain(self) -> Plain:
        """Return the numbers of the prospect as plain ones, which are quicker in ones and twos."""
        it = self.prospect
        chances = it.chances.transpose(0, 2, 1).tolist()
        return Plain(
            it.beliefs.tolist(), chances, it.minutes.tolist(), it.prices.look.tolist(), it.prices.mend.tolist()
        )

    def start(self) -> State:
        """Return the state in which nothing was done."""
        return (-1,) * len(self.prospect.minutes), frozenset()

    def beliefs(self, state: State) -> list[float]:
        """Return the beliefs in a state."""
        weights = [0.0 if at in state[1] else it for at, it in enumerate(self.plain.beliefs)]
        for check, outcome in enumerate(state[0]):
            if outcome >= 0:
                column = self.plain.chances[check][outcome]
                weights = [weight * chance for weight, chance in zip(weights, column, strict=True)]
        total = sum(weights)
        return [it / total for it in weights] if total > 0 else weights

    def optimum(self, state: State) -> float:
        """Return the least expected minutes from a state."""
        if state not in self.kept:
            beliefs = self.beliefs(state)
            checks = [self._check(state, beliefs, at, self.optimum) for at in _unmade(state)]
            tries = [self._attempt(state, beliefs, at, self.optimum) for at in _untried(state, beliefs)]
            self.kept[state] = min([self.prospect.prices.call, *checks, *tries])
        return self.kept[state]

    def planned(self, state: State) -> float:
        """Return the expected minutes from a state when our planner says what to do."""
        beliefs, left, prices = self.beliefs(state), _unmade(state), self.prospect.prices
        look = np.where([at in state[1] for at in range(len(beliefs))], NEVER, prices.look)
        here = Prices(look, prices.mend, prices.call)
        step = best_step(Prospect(np.array(beliefs), self.prospect.chances[left], self.prospect.minutes[left], here))
        if step.kind == "call":
            return prices.call
        if step.kind == "attempt":
            return self._attempt(state, beliefs, step.place, self.planned)
        return self._check(state, beliefs, left[step.place], self.planned)

    def _attempt(self, state: State, beliefs: Sequence[float], at: int, go_on: Callable[[State], float]) -> float:
        share = beliefs[at]
        spent = self.plain.look[at] + share * self.plain.mend[at]
        after = (state[0], state[1] | {at})
        return spent + ((1.0 - share) * go_on(after) if share < 1.0 - 1e-12 else 0.0)

    def _check(self, state: State, beliefs: Sequence[float], at: int, go_on: Callable[[State], float]) -> float:
        total = self.plain.minutes[at]
        for outcome, column in enumerate(self.plain.chances[at]):
            share = sum(belief * chance for belief, chance in zip(beliefs, column, strict=True))
            if share > 1e-12:
                total += share * go_on(((*state[0][:at], outcome, *state[0][at + 1 :]), state[1]))
        return total


def _unmade(state: State) -> list[int]:
    return [at for at, outcome in enumerate(state[0]) if outcome < 0]


def _untried(state: State, beliefs: Sequence[float]) -> list[int]:
    return [at for at in range(len(beliefs)) if at not in state[1]]


def cut_down(reasoning: Reasoning, prospect: Prospect) -> SmallCase | None:
    """Return a case with its likeliest causes and the checks that tell most about them; None when it has too few."""
    known = [at for at, it in enumerate(reasoning.hypotheses.open) if it.cause != SOMETHING_ELSE]
    best = sorted(known, key=lambda at: -prospect.beliefs[at])[:HYPOTHESES]
    beliefs = prospect.beliefs[best] / prospect.beliefs[best].sum()
    chances = prospect.chances[:, best]
    told = bits_told(beliefs, chances) / prospect.minutes
    checks = [int(at) for at in np.argsort(-told, kind="stable")[:CHECKS]]
    if len(best) < 2 or not checks or told[checks[0]] <= 0:
        return None
    prices = Prices(prospect.prices.look[best], prospect.prices.mend[best], prospect.prices.call)
    return SmallCase(Prospect(beliefs, chances[checks], prospect.minutes[checks], prices))
