"""Ways to find the cause on the printer network: our planner, unchanged, and the ones it is compared with."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from diag.likelihoods import Floats, plogp
from diag.ranking import DECIMALS, posterior
from diag.repair_planning import Prices, Prospect, after_checks, attempts_minutes, best_step, bits_told
from tests.diag.printer_network import (
    ABNORMAL,
    CONTEXT,
    INSPECTION_COST,
    QUESTION_COST,
    STATUS,
    PrinterCase,
    SingleFaults,
)

SURE = 0.95
QUESTIONS = (*ABNORMAL, *CONTEXT, *STATUS)
NO_HELP = 1e6
"""Nobody can be called here."""


@dataclass
class Search:
    """One search for the cause of a broken printer: the answers so far, and what they cost.

    `model` is what the strategies reason with; answers come from the case.
    """

    model: SingleFaults
    case: PrinterCase
    answers: dict[str, int] = field(default_factory=dict)
    cleared: list[int] = field(default_factory=list)
    cost: float = 0.0
    found: int | None = None

    def beliefs(self) -> Floats:
        """Return our posterior: the chance of each answer given those before it, then the causes cleared by looking."""
        seen, before = [], dict[str, int]()
        for node, state in self.answers.items():
            chance = self.model.chance(node, before)
            seen.append(chance if state else 1.0 - chance)
            before[node] = state
        for cause in self.cleared:
            seen.append((np.arange(len(self.model.network.causes)) != cause).astype(float))
        return posterior(list(self.model.network.prior), seen)

    def open_questions(self) -> tuple[list[str], Floats]:
        """Return what can still be asked, and `chances[question, cause, state]` after the answers so far."""
        left = [it for it in QUESTIONS if it not in self.answers]
        ones = np.array([self.model.chance(it, self.answers) for it in left]).reshape(
            -1, len(self.model.network.causes)
        )
        return left, np.stack([1.0 - ones, ones], axis=-1)

    def ask(self, node: str) -> None:
        """Ask a question."""
        self.cost += QUESTION_COST
        self.answers[node] = self.case.states[node]

    def inspect(self, cause: int) -> None:
        """Look whether a cause is there."""
        self.cost += INSPECTION_COST
        if cause == self.case.cause:
            self.found = cause
        else:
            self.cleared.append(cause)


Strategy = Callable[[Search, Floats], None]
"""Asks or inspects once."""


def search(model: SingleFaults, case: PrinterCase, strategy: Strategy) -> tuple[float, bool]:
    """Return what it cost until one cause was found or held 0.95, and whether that one is the right one."""
    it = Search(model, case, {case.symptom: ABNORMAL[case.symptom]})
    while it.found is None:
        beliefs = it.beliefs()
        if beliefs.max() >= SURE:
            it.found = int(beliefs.argmax())
        else:
            strategy(it, beliefs)
    return it.cost, it.found == case.cause


def prices(causes: int) -> Prices:
    """Return what inspections cost; nothing is to be mended."""
    return Prices(np.full(causes, INSPECTION_COST), np.zeros(causes), NO_HELP, SURE)


def ours(it: Search, beliefs: Floats) -> None:
    """Do what our planner says."""
    asked, chances = it.open_questions()
    costs = np.full(len(asked), QUESTION_COST)
    step = best_step(Prospect(beliefs, chances, costs, prices(len(beliefs))))
    if step.kind == "check":
        it.ask(asked[step.place])
    else:
        it.inspect(step.place)


def entropy_for_cost(it: Search, beliefs: Floats) -> None:
    """Ask or inspect what takes away most entropy for its cost."""
    asked, chances = it.open_questions()
    by_looking = -plogp(np.stack([beliefs, 1.0 - beliefs])).sum(axis=0) / INSPECTION_COST
    rates = np.concatenate([bits_told(beliefs, chances) / QUESTION_COST, by_looking])
    _do(it, asked, int(np.round(rates, DECIMALS).argmax()))


def one_step_repair_cost(it: Search, beliefs: Floats) -> None:
    """Ask where that lowers the expected cost of inspecting in the best order (ECO below ECR), else inspect."""
    asked, chances = it.open_questions()
    outcomes, after = after_checks(beliefs, chances)
    totals = QUESTION_COST + (outcomes * attempts_minutes(after, prices(len(beliefs)))).sum(axis=-1)
    without = float(attempts_minutes(beliefs, prices(len(beliefs))))
    best = int(np.round(totals, DECIMALS).argmin()) if asked else -1
    worth = best >= 0 and totals[best] < without - 1e-9
    _do(it, asked, best if worth else len(asked) + likeliest(beliefs))


def probability_for_cost(it: Search, beliefs: Floats) -> None:
    """Inspect the likeliest cause; all cost the same."""
    it.inspect(likeliest(beliefs))


def fixed_script(it: Search, _beliefs: Floats) -> None:
    """Ask every question in a fixed order, then inspect in the order of the prior."""
    left = [node for node in QUESTIONS if node not in it.answers]
    if left:
        it.ask(left[0])
        return
    order = np.argsort(-it.model.network.prior, kind="stable")
    it.inspect(next(int(cause) for cause in order if int(cause) not in it.cleared))


def likeliest(beliefs: Floats) -> int:
    """Return the likeliest cause, the first of equals."""
    return int(np.round(beliefs, DECIMALS).argmax())


def _do(it: Search, asked: Sequence[str], place: int) -> None:
    if place < len(asked):
        it.ask(asked[place])
    else:
        it.inspect(place - len(asked))


STRATEGIES: dict[str, Strategy] = {
    "ours": ours,
    "entropy for cost": entropy_for_cost,
    "cost of repair, one step": one_step_repair_cost,
    "posterior for cost": probability_for_cost,
    "fixed script": fixed_script,
}
