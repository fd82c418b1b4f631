"""Published worked examples of troubleshooting and of diagnosis by entropy, each to the digits given."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from itertools import combinations, product

import numpy as np
import pytest

from diag.hitting_sets import minimal_hitting_sets
from diag.options import Options
from diag.planning import information_bits
from diag.repair_planning import (
    Prices,
    Prospect,
    attempt_order,
    attempts_minutes,
    cluster_order,
    look_ahead,
    sequence_minutes,
)
from tests.bench.optimum import (
    Beliefs,
    Look,
    Repair,
    Trouble,
    World,
    in_turn,
    is_there,
    normal,
    single_faults,
)


def prices(look: list[float], mend: list[float] | None = None, call: float = 1e6) -> Prices:
    return Prices(np.array(look), np.array(mend or [0.0] * len(look)), call)


def actions(**fixes: str) -> dict[str, Repair]:
    """Return repairs of cost one, each with the faults it mends as letters."""
    return {name: Repair(frozenset(faults), 1.0) for name, faults in fixes.items()}


def test_actions_that_mend_several_faults_cost_more_in_the_greedy_order() -> None:
    """Jensen et al., "The SACSO methodology" (2001), figure 1."""
    trouble = Trouble(actions(A1="ab", A2="bc", A3="cd"))
    beliefs = single_faults({"a": 0.20, "b": 0.25, "c": 0.40, "d": 0.15})

    assert trouble.cost_of(beliefs, in_turn(["A2", "A1", "A3"])) == pytest.approx(1.50)
    assert trouble.least(beliefs) == pytest.approx(1.45)
    assert trouble.cost_of(beliefs, in_turn(["A3", "A1"])) == pytest.approx(1.45)


def test_a_question_that_costs_more_than_it_saves_is_not_asked() -> None:
    """Lin, "Troubleshooting" (2014), figure 2: 2 with the question after the first action, 1.75 without it."""
    look = Look(1.0, lambda world: {"2" if "b" in world[0] else "3": 1.0 if world[0] & {"b", "c"} else 0.5})
    trouble = Trouble(actions(A1="a", A2="b", A3="c"), {"Q": look})
    beliefs = single_faults({"a": 0.5, "b": 0.25, "c": 0.25})
    left = np.array([0.5, 0.5])

    asking = trouble.cost_of(beliefs, lambda it: "A1" if len(it) == 3 else "Q" if len(it) == 2 else _sole(it))
    assert asking == pytest.approx(2.0)
    assert trouble.least(beliefs) == pytest.approx(1.75)
    assert sequence_minutes(np.array([0.5, 0.25, 0.25]), prices([1, 1, 1]), [0, 1, 2])[-1] == pytest.approx(1.75)
    without = float(attempts_minutes(left, prices([1, 1])))
    assert without - 1.0 == pytest.approx(0.5)
    step = look_ahead(Prospect(left, np.array([[[1.0, 0.0], [0.0, 1.0]]]), np.array([1.0]), prices([1, 1]))).best()
    assert step.kind == "attempt"


def _sole(beliefs: tuple[tuple[World, float], ...]) -> str:
    """Return the action that mends the only fault left."""
    return {"a": "A1", "b": "A2", "c": "A3"}[min(beliefs[0][0][0])]


@pytest.mark.parametrize(("groups", "least"), [(1, 3.0), (2, 3.6667), (3, 4.25)])
def test_questions_that_each_split_off_three_faults(groups: int, least: float) -> None:
    """Vomlelova, "Complexity of decision-theoretic troubleshooting" (2003), theorem 4: 2 + m(m+3) / 2(m+1)."""
    faults = [chr(ord("a") + it) for it in range(3 * groups + 3)]
    looks = {f"Q{it}": in_group(faults[3 * it : 3 * it + 3]) for it in range(groups)}
    trouble = Trouble({it: Repair(frozenset(it), 1.0) for it in faults}, looks)

    assert trouble.least(single_faults(dict.fromkeys(faults, 1 / len(faults)))) == pytest.approx(least, abs=1e-4)
    assert 2 + groups * (groups + 3) / (2 * (groups + 1)) == pytest.approx(least, abs=1e-4)


def in_group(faults: list[str]) -> Look:
    return Look(1.0, lambda world: {"in" if world[0] & set(faults) else "out": 1.0})


def test_the_best_cover_of_four_equal_faults() -> None:
    """Lin (2014), figure 4."""
    trouble = Trouble(actions(A12="ab", A23="bc", A24="bd"))

    assert trouble.least(single_faults(dict.fromkeys("abcd", 0.25))) == pytest.approx(1.75)


def test_the_service_is_called_after_the_third_repair() -> None:
    """Equations 1 and 2 of Heckerman, Breese and Rommelse (1995) on numbers of ours."""
    p = np.array([0.5, 0.3, 0.15, 0.05])
    cost = prices([2, 3, 5, 40], [10, 10, 20, 30], 60.0)
    order = attempt_order(p, cost)

    totals = sequence_minutes(p, cost, order)

    assert totals == pytest.approx([60, 37, 23.5, 18.5, 19.0])
    assert totals.argmin() == 3
    assert float(attempts_minutes(p, cost)) == pytest.approx(18.5)


def test_what_lies_behind_one_cover_is_done_in_one_go() -> None:
    """Cost clusters after Ottosen and Jensen (2010), on numbers of ours: 8.5, and 9.0 by the plain order."""
    p, cost = np.array([0.35, 0.30, 0.20, 0.15]), np.array([4.0, 1.0, 1.0, 2.0])
    behind = np.array([False, True, True, False])

    best = cluster_order(p, cost, behind, opening=5.0)

    assert best == [0, 3, 1, 2]
    assert opened_once(best, p, cost, behind) == pytest.approx(8.5)
    plain = [int(it) for it in np.argsort(-p / cost, kind="stable")]
    assert opened_once(plain, p, cost, behind) == pytest.approx(9.0)


def opened_once(order: list[int], p: np.ndarray, cost: np.ndarray, behind: np.ndarray) -> float:
    """Return the expected cost of an order when the cover is opened before the first action behind it."""
    total, left, is_open = 0.0, 1.0, False
    for it in order:
        total += left * (cost[it] + (5.0 if behind[it] and not is_open else 0.0))
        is_open = is_open or bool(behind[it])
        left -= p[it]
    return total


POLYBOX = [{"A1", "M1", "M2"}, {"A1", "A2", "M1", "M3"}]


def test_the_minimal_diagnoses_of_the_polybox() -> None:
    """De Kleer and Williams, "Diagnosing multiple faults" (1987)."""
    assert minimal_hitting_sets(POLYBOX) == [frozenset(it) for it in ({"A1"}, {"M1"}, {"A2", "M2"}, {"M2", "M3"})]


def test_x_is_the_measurement_of_the_polybox_with_the_least_entropy() -> None:
    """De Kleer and Williams (1987); p = .01 for each component, 16 values a wire: -0.7160, -0.0054, -0.0030 nats."""
    diagnoses = polybox_diagnoses()
    beliefs = np.array([sum(it.values()) for it in diagnoses.values()])
    beliefs /= beliefs.sum()
    chances = np.array([[wire_row(it, wire) for it in diagnoses.values()] for wire in range(3)])
    logs = np.log2(chances, out=np.zeros_like(chances), where=chances > 0)
    bits = information_bits(beliefs, Options((("X", ""), ("Y", ""), ("Z", "")), chances, -(chances * logs).sum(axis=2)))
    shares = dict(zip(diagnoses, beliefs, strict=True))

    assert shares["A1",] == pytest.approx(0.4962, abs=5e-5)
    assert shares["M1",] == pytest.approx(0.4962, abs=5e-5)
    assert bits * np.log(2) == pytest.approx([0.7160, 0.0054, 0.0030], abs=5e-5)


Wires = tuple[int, int, int]


def polybox_diagnoses() -> dict[tuple[str, ...], dict[Wires, float]]:
    """Return, for each set of broken components, the shares of the values of X, Y and Z with F = 10 and G = 12.

    A = 3, B = 2, C = 2, D = 3, E = 3; M1, M2, M3 make X = AC, Y = BD, Z = CE, A1 makes F = X + Y and A2 G = Y + Z. A
    broken component gives each of 16 values alike.
    """
    found: dict[tuple[str, ...], dict[Wires, float]] = {}
    for size in range(6):
        for broken in combinations(("A1", "A2", "M1", "M2", "M3"), size):
            values = {wires: share for wires, share in wires_of(broken) if share > 0}
            if values:
                found[broken] = values
    return found


def wires_of(broken: Collection[str]) -> Iterator[tuple[Wires, float]]:
    """Yield the values of the inner wires with the share of the broken set, those values and the outputs measured."""
    prior = 0.01 ** len(broken) * 0.99 ** (5 - len(broken))
    ranges = [range(16) if name in broken else (6,) for name in ("M1", "M2", "M3")]
    for x, y, z in product(*ranges):
        f = 1 / 16 if "A1" in broken else float(x + y == 10)
        g = 1 / 16 if "A2" in broken else float(y + z == 12)
        yield (x, y, z), prior * f * g / np.prod([len(it) for it in ranges])


def wire_row(values: dict[Wires, float], wire: int) -> list[float]:
    """Return the chances of the 16 values of one wire."""
    total = sum(values.values())
    return [sum(share for it, share in values.items() if it[wire] == value) / total for value in range(16)]


HS_TREE = [{2, 4, 5}, {1, 2, 3}, {1, 3, 5}, {2, 4, 6}, {2, 4}, {2, 3, 5}, {1, 6}]


@pytest.mark.parametrize(
    ("conflicts", "diagnoses"),
    [
        (HS_TREE, [{1, 2}, {1, 3, 4}, {1, 4, 5}, {2, 3, 6}, {2, 5, 6}, {3, 4, 6}]),
        ([{"X1", "X2"}, {"X1", "A2", "O1"}], [{"X1"}, {"A2", "X2"}, {"O1", "X2"}]),
    ],
)
def test_minimal_hitting_sets_are_those_of_reiter(
    conflicts: Sequence[set[object]], diagnoses: Sequence[set[object]]
) -> None:
    """Reiter, "A theory of diagnosis from first principles" (1987): the HS-tree's sets, and the full adder."""
    named = [{str(it) for it in conflict} for conflict in conflicts]
    expected = {frozenset(str(it) for it in one) for one in diagnoses}

    assert set(minimal_hitting_sets(named)) == expected
    assert expected == by_trying_all(named)


def by_trying_all(conflicts: Sequence[set[str]]) -> set[frozenset[str]]:
    """Return the minimal hitting sets by looking at every set there is."""
    members = sorted(set().union(*conflicts))
    every = [frozenset(it) for size in range(len(members) + 1) for it in combinations(members, size)]
    hitting = [it for it in every if all(it & conflict for conflict in conflicts)]
    return {it for it in hitting if not any(one < it for one in hitting)}


CAR = {
    "10001": 0.589130, "00100": 0.171809, "00011": 0.119542, "01001": 0.102670, "10100": 0.005951, "11001": 0.003556,
    "10011": 0.003551, "01100": 0.001037, "00110": 0.001036, "01011": 0.000619, "10000": 0.000590, "00101": 0.000172,
}  # fmt: skip
"""Shares of battery flat, tank empty, no oil, other fault, dipstick shows oil, when the car will not start."""


def car_beliefs() -> Beliefs:
    parts = ("battery", "tank", "oil", "other")
    worlds = {
        (frozenset(part for part, bit in zip(parts, bits, strict=False) if bit == "1"), bits[4]): share
        for bits, share in CAR.items()
    }
    return normal(worlds)[0]


def test_the_small_car_costs_231_with_the_best_plan() -> None:
    """simpleCar2, a student report; on the twelve likeliest rows of its table."""
    repairs = {
        "battery": Repair(frozenset({"battery"}), 200.0),
        "tank": Repair(frozenset({"tank"}), 50.0),
        "oil": Repair(frozenset({"oil"}), 75.0),
    }
    looks = {
        "see battery": Look(20.0, is_there("battery")),
        "see oil": Look(50.0, is_there("oil")),
        "dipstick": Look(7.0, lambda world: {world[1]: 1.0}),
    }

    assert Trouble(repairs, looks, call=500.0).least(car_beliefs()) == pytest.approx(231.05, abs=0.01)
