"""Time the circuit solver against a general circuit package and a plain sparse solve."""

from __future__ import annotations

import gc
import time
from collections.abc import Callable
from random import Random

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import spsolve

from diag.calculators.circuits import Branch, Circuit, ConstantCurrent, ConstantPower, Load, Supply
from diag.calculators.flows import solve
from tests.diag.calculators.general_circuits import general_voltages

AGREEMENT = 1e-6
PACKAGE_LIMIT = 100


def site_tree(drives: int, rings: int = 0, takes_power: bool = False) -> Circuit:
    """Return so many drives in groups of fifty, each group a tree on its own trunk, as outputs of a large site."""
    random = Random(drives)
    branches = []
    for place in range(drives):
        first = place - place % 50
        parent = "panel" if place == first else f"n{random.randrange(max(first, place - 4), place)}"
        branches.append(
            Branch(f"b{place}", parent, f"n{place}", random.uniform(1e-4, 4e-3), random.uniform(1e-4, 4e-3))
        )
    branches += [Branch(f"r{ring}", f"n{ring * 50 + 49}", "panel", 0.01, 0.02) for ring in range(rings)]
    loads: tuple[Load, ...] = tuple(
        ConstantPower(f"d{place}", f"n{place}", 12.0) if takes_power else ConstantCurrent(f"d{place}", f"n{place}", 0.5)
        for place in range(drives)
    )
    return Circuit(Supply("panel", 24.0), tuple(branches), loads)


def sparse_answer(circuit: Circuit) -> tuple[dict[str, float], dict[str, float], dict[str, float]]:
    """Return volts, currents and losses by a sparse matrix with both cores as one loop, for trees of currents."""
    nodes = list(dict.fromkeys(end for branch in circuit.branches for end in (branch.start, branch.end)))
    number = {name: place for place, name in enumerate(nodes)}
    starts = np.array([number[branch.start] for branch in circuit.branches])
    ends = np.array([number[branch.end] for branch in circuit.branches])
    conductances = np.array([1.0 / (branch.out_ohm + branch.return_ohm) for branch in circuit.branches])
    rows = np.concatenate([starts, ends, starts, ends])
    columns = np.concatenate([starts, ends, ends, starts])
    values = np.concatenate([conductances, conductances, -conductances, -conductances])
    matrix = coo_matrix((values, (rows, columns))).tocsc()
    drawn: NDArray[np.float64] = np.zeros(len(nodes))
    for load in circuit.loads:
        assert isinstance(load, ConstantCurrent), "the sparse solve is linear"
        drawn[number[load.node]] -= load.current_a
    root = number[circuit.supply.node]
    free = np.arange(len(nodes)) != root
    known = matrix[:, [root]].toarray().ravel() * circuit.supply.voltage_v
    volts = np.full(len(nodes), circuit.supply.voltage_v)
    volts[free] = spsolve(matrix[free][:, free], (drawn - known)[free])
    currents = (volts[starts] - volts[ends]) * conductances
    names = [branch.name for branch in circuit.branches]
    return (
        dict(zip(nodes, volts.tolist(), strict=True)),
        dict(zip(names, currents.tolist(), strict=True)),
        dict(zip(names, (currents**2 / conductances).tolist(), strict=True)),
    )


def best_seconds(*works: Callable[[], object], tries: int = 15) -> list[float]:
    """Return the shortest of some runs of each; they take turns, so a busy machine is as hard on all of them."""
    times: list[list[float]] = [[] for _ in works]
    for _ in range(tries):
        for work, taken in zip(works, times, strict=True):
            started = time.perf_counter()
            work()
            taken.append(time.perf_counter() - started)
    return list(map(min, times))


def furthest_apart(one: dict[str, float], other: dict[str, float]) -> float:
    """Return the largest relative difference between two sets of volts."""
    return max(abs(one[name] - other[name]) / abs(other[name]) for name in other)


def check_agreement(name: str, apart: float) -> None:
    """End the run when two solvers disagree: a time without the right answer is worth nothing."""
    if apart > AGREEMENT:
        raise SystemExit(f"{name} differs by {apart:.2g}; allowed is {AGREEMENT:g}")


def main() -> None:
    """Print one line for each size, times in milliseconds."""
    print(
        f"{'drives':>7}{'ours':>10}{'sparse':>10}{'times':>7}{'package':>10}{'powers':>10}{'rings':>10}{'us each':>9}"
    )
    gc.freeze()  # what the packages brought in at import belongs to none of the solvers
    for drives in (5, 20, 100, 1_000, 3_000, 10_000):
        circuit = site_tree(drives)
        ours, sparse = best_seconds(
            lambda: solve(circuit),  # noqa: B023 - run before the next size
            lambda: sparse_answer(circuit),  # noqa: B023
        )
        solution = solve(circuit)
        volts = dict(solution.voltages_v)
        sparse_volts, sparse_currents, _ = sparse_answer(circuit)
        check_agreement("the sparse solve", furthest_apart(volts, sparse_volts))
        check_agreement("the sparse solve", furthest_apart(dict(solution.out_currents_a), sparse_currents))
        package = float("nan")
        if drives <= PACKAGE_LIMIT:
            (package,) = best_seconds(lambda: general_voltages(circuit), tries=1)  # noqa: B023
            check_agreement("the circuit package", furthest_apart(volts, general_voltages(circuit)))
        of_powers, with_rings = site_tree(drives, takes_power=True), site_tree(drives, drives // 50)
        powers, rings = best_seconds(lambda: solve(of_powers), lambda: solve(with_rings), tries=5)  # noqa: B023
        print(
            f"{drives:>7}{ours * 1e3:>10.2f}{sparse * 1e3:>10.2f}{ours / sparse:>7.2f}{package * 1e3:>10.1f}"
            f"{powers * 1e3:>10.2f}{rings * 1e3:>10.2f}{ours / drives * 1e6:>9.2f}"
        )


if __name__ == "__main__":
    main()
