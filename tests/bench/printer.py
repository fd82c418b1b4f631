"""Print what our planner costs on the printer network win95pts beside other ways, on the same cases.

Run: python -m tests.bench.printer [--cases N] [--seeds N] [--blur X]
Questions cost 1, inspections 5; a search stops when one cause holds 0.95 or is found. `--blur` reasons with chances
whose log-odds were shifted at random by that standard deviation, for the model that is right is never at hand.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from tests.diag.printer_network import Network, SingleFaults, draw_cases, read_network
from tests.diag.printer_strategies import STRATEGIES, search


def main(arguments: Sequence[str] | None = None) -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cases", type=int, default=400)
    parser.add_argument("--seeds", type=int, default=1)
    parser.add_argument("--blur", type=float, default=0.0)
    asked = parser.parse_args(arguments)
    network = read_network()
    model = SingleFaults(blurred(network, asked.blur) if asked.blur else network)
    print(f"{asked.cases} cases a seed; mean cost ± standard error, share of right causes")
    for seed in range(1, asked.seeds + 1):
        cases = draw_cases(network, asked.cases, seed)
        for name, strategy in STRATEGIES.items():
            found = [search(model, case, strategy) for case in cases]
            costs = np.array([cost for cost, _ in found])
            right = np.mean([it for _, it in found])
            error = costs.std() / len(costs) ** 0.5
            print(f"  seed {seed}  {name:28} {costs.mean():6.2f} ± {error:.2f} {100 * right:7.2f} %", flush=True)


def blurred(network: Network, spread: float) -> Network:
    """Return the network with chances that are off: each log-odds shifted by a normal deviate."""
    dice = np.random.default_rng(11)
    shifted = {it: shift(table, dice.normal(0.0, spread, np.shape(table))) for it, table in network.chance.items()}
    return replace(network, chance=shifted)


def shift(chances: np.ndarray, by: np.ndarray) -> np.ndarray:
    """Return chances with their log-odds shifted; certain ones stay so."""
    odds = chances / np.maximum(1.0 - chances, 1e-12) * np.exp(by)
    inner = odds / (1.0 + odds)
    return np.where((chances <= 0.0) | (chances >= 1.0), chances, inner)


if __name__ == "__main__":
    main()
