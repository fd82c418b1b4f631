"""Cases cut down until the best plan can be worked out: what our planner costs beside the exact optimum."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from diag.likelihoods import SOMETHING_ELSE, Floats
from diag.reasoning import Reasoning
from diag.repair_planning import NEVER, Prices, Prospect, Step, best_step, bits_told

HYPOTHESES, CHECKS = 4, 4

State = tuple[tuple[int, ...], frozenset[int]]
"""For each check the outcome it had, or -1 when it is not made yet; and the hypotheses tried in vain."""


@dataclass
class SmallCase:
    """A prospect small enough to look at every course it can take; walks are left out."""

    prospect: Prospect
    kept: dict[State, float] = field(default_factory=dict)

    def start(self) -> State:
        """Return the state in which nothing was done."""
        return (-1,) * len(self.prospect.minutes), frozenset()

    def beliefs(self, state: State) -> tuple[Floats, float]:
        """Return the beliefs in a state, and the weight they had before they were scaled."""
        weights = self.prospect.beliefs.copy()
        for check, outcome in enumerate(state[0]):
            if outcome >= 0:
                weights = weights * self.prospect.chances[check, :, outcome]
        weights[list(state[1])] = 0.0
        total = float(weights.sum())
        return (weights / total if total > 0 else weights), total

    def optimum(self, state: State) -> float:
        """Return the least expected minutes from a state."""
        if state not in self.kept:
            checks = [self._cost(state, Step("check", at, 0.0), self.optimum) for at in self._unmade(state)]
            tries = [self._cost(state, Step("attempt", at, 0.0), self.optimum) for at in self._untried(state)]
            self.kept[state] = min([self.prospect.prices.call, *checks, *tries])
        return self.kept[state]

    def planned(self, state: State) -> float:
        """Return the expected minutes from a state when our planner says what to do."""
        beliefs, _ = self.beliefs(state)
        left = self._unmade(state)
        prices = self.prospect.prices
        look = np.where([at in state[1] for at in range(len(beliefs))], NEVER, prices.look)
        step = best_step(
            Prospect(
                beliefs,
                self.prospect.chances[left],
                self.prospect.minutes[left],
                Prices(look, prices.mend, prices.call),
            )
        )
        if step.kind == "call":
            return prices.call
        real = Step(step.kind, left[step.place] if step.kind == "check" else step.place, 0.0)
        return self._cost(state, real, self.planned)

    def _unmade(self, state: State) -> list[int]:
        return [at for at, outcome in enumerate(state[0]) if outcome < 0]

    def _untried(self, state: State) -> list[int]:
        return [at for at in range(len(self.prospect.beliefs)) if at not in state[1]]

    def _cost(self, state: State, step: Step, go_on: Callable[[State], float]) -> float:
        beliefs, _ = self.beliefs(state)
        if step.kind == "attempt":
            share, prices = float(beliefs[step.place]), self.prospect.prices
            spent = float(prices.look[step.place] + share * prices.mend[step.place])
            after = (state[0], state[1] | {step.place})
            return spent + ((1.0 - share) * go_on(after) if share < 1.0 - 1e-12 else 0.0)
        total = float(self.prospect.minutes[step.place])
        for outcome, share in enumerate(beliefs @ self.prospect.chances[step.place]):
            if share > 1e-12:
                made = tuple(outcome if at == step.place else it for at, it in enumerate(state[0]))
                total += float(share) * go_on((made, state[1]))
        return total


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
