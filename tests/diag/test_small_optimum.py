"""Our planner beside the exact optimum, on call-outs cut down to what can be computed."""

from __future__ import annotations

from random import Random

import numpy as np

from diag.repair_planning import Prices, Prospect
from tests.bench.small_cases import SmallCase


def random_case(random: Random) -> SmallCase:
    """Return three causes and three checks with random chances, minutes and repairs."""
    dice = np.random.default_rng(random.randrange(10**6))
    beliefs = dice.dirichlet(np.ones(3))
    chances = dice.dirichlet(np.full(2, 0.5), size=(3, 3))
    prices = Prices(dice.uniform(10, 90, 3), np.zeros(3), 480.0)
    return SmallCase(Prospect(beliefs, chances, dice.uniform(2, 15, 3), prices))


def test_no_plan_is_better_than_the_optimum_and_ours_is_close() -> None:
    random = Random(4)
    cases = [random_case(random) for _ in range(30)]
    least = [it.optimum(it.start()) for it in cases]
    ours = [it.planned(it.start()) for it in cases]

    assert all(one >= other - 1e-9 for one, other in zip(ours, least, strict=True))
    assert sum(ours) <= 1.05 * sum(least)
