"""Circuits of trees and rings: known answers, a general circuit package, and laws that always hold."""

import time
from math import inf
from random import Random

import pytest

from diag.calculators.circuits import (
    Branch,
    Circuit,
    ConstantCurrent,
    ConstantPower,
    Load,
    Resistance,
    Solution,
    Supply,
    cable,
)
from diag.calculators.flows import solve
from diag.calculators.networks import ShortCircuit
from tests.diag.calculators.general_circuits import general_voltages, random_tree, with_rings


def tapped_run(*loads: Load) -> Circuit:
    """Return 24 V on 1.5 mm2, tapped after 20, 35 and 45 m."""
    branches = (
        cable("first", "panel", "tap-1", 20, 1.5),
        cable("second", "tap-1", "tap-2", 15, 1.5),
        cable("third", "tap-2", "tap-3", 10, 1.5),
    )
    return Circuit(Supply("panel", 24.0), branches, loads)


def two_ohm_run(power_w: float) -> Circuit:
    """Return a drive of this power at the end of a run with two ohm there and back."""
    branches = (Branch("run", "panel", "far", 1.0, 1.0),)
    return Circuit(Supply("panel", 24.0), branches, (ConstantPower("drive", "far", power_w),))


def tapped_tree() -> Circuit:
    """Return a 24 V tree with seven drives on three branches and a panel with its own resistance."""
    branches = (
        cable("riser", "panel", "box-1", 22, 2.5),
        cable("north-1", "box-1", "n1", 8, 1.5, conductor_class=5),
        cable("north-2", "n1", "n2", 6, 1.5, conductor_class=5, joint_ohm=0.02),
        cable("south-1", "box-1", "box-2", 14, 1.5, temperature_c=45),
        cable("south-2", "box-2", "s1", 5, 0.75),
        cable("south-3", "box-2", "s2", 9, 0.75),
        cable("roof", "panel", "r1", 31, 1.5),
        cable("roof-2", "r1", "r2", 4, 1.0),
    )
    drawn = {"n1": 0.8, "n2": 1.1, "box-2": 0.5, "s1": 0.9, "s2": 1.0, "r1": 1.2, "r2": 0.7}
    loads = tuple(ConstantCurrent(f"drive-{node}", node, current) for node, current in drawn.items())
    return Circuit(Supply("panel", 24.0, 0.08), branches, loads)


def lost_power(circuit: Circuit, solution: Solution) -> float:
    used = sum(abs(solution.voltages_v[load.node]) * solution.load_currents_a[load.name] for load in circuit.loads)
    return solution.supply_power_w - used - sum(solution.cable_losses_w.values())


def test_three_taps_of_one_ampere_see_the_volts_that_circuit_simulators_give() -> None:
    # lcapy 1.26, ngspice 39.3 and a plain loop agree on these
    solution = solve(tapped_run(*(ConstantCurrent(f"drive-{tap}", f"tap-{tap}", 1.0) for tap in (1, 2, 3))))

    assert solution.voltages_v == pytest.approx(
        {"panel": 24.0, "tap-1": 22.548, "tap-2": 21.822, "tap-3": 21.580}, abs=1e-9
    )
    assert solution.out_currents_a == pytest.approx({"first": 3.0, "second": 2.0, "third": 1.0})
    assert solution.supply_power_w == pytest.approx(72.0)


def test_three_taps_of_constant_power_settle_lower() -> None:
    solution = solve(tapped_run(*(ConstantPower(f"drive-{tap}", f"tap-{tap}", 24.0) for tap in (1, 2, 3))))

    assert [solution.voltages_v[f"tap-{tap}"] for tap in (1, 2, 3)] == pytest.approx(
        [22.3982, 21.5859, 21.3134], abs=5e-5
    )


def test_one_constant_power_settles_where_the_quadratic_says() -> None:
    # V = E - R P / V, so V = (E + sqrt(E^2 - 4 R P)) / 2
    circuit = Circuit(
        Supply("panel", 24.0),
        (Branch("run", "panel", "far", 1.0, 1.0),),
        (ConstantPower("drive", "far", 60.0),),
    )

    assert solve(circuit).voltages_v["far"] == pytest.approx((24 + (24**2 - 4 * 2 * 60) ** 0.5) / 2, rel=1e-11)


def test_a_tapped_tree_agrees_with_a_general_circuit_package() -> None:
    circuit = tapped_tree()

    assert solve(circuit).voltages_v == pytest.approx(general_voltages(circuit), rel=1e-9)


def test_two_hundred_random_trees_agree_with_a_general_circuit_package() -> None:
    random = Random(4)
    for _ in range(200):
        circuit = random_tree(random)
        assert solve(circuit).voltages_v == pytest.approx(general_voltages(circuit), rel=1e-6, abs=1e-9)


def test_random_rings_agree_with_a_general_circuit_package() -> None:
    random = Random(5)
    for _ in range(40):
        circuit = with_rings(random, random_tree(random), random.randint(1, 3))
        assert solve(circuit).voltages_v == pytest.approx(general_voltages(circuit), rel=1e-6, abs=1e-9)


def test_swapped_cores_agree_with_a_general_circuit_package() -> None:
    random = Random(6)
    for _ in range(20):
        tree = random_tree(random)
        branches = tuple(
            Branch(one.name, one.end, one.start, one.out_ohm, one.return_ohm, swapped=random.random() < 0.4)
            for one in tree.branches
        )
        loads = tuple(load for load in tree.loads if isinstance(load, Resistance))
        circuit = Circuit(tree.supply, branches, loads)
        assert solve(circuit).voltages_v == pytest.approx(general_voltages(circuit), rel=1e-6, abs=1e-9)


def test_a_ring_with_cores_exchanged_twice_agrees_with_a_general_circuit_package() -> None:
    branches = (
        Branch("there", "panel", "box", 0.1, 0.4, swapped=True),
        Branch("on", "far", "box", 0.05, 0.3),
        Branch("back", "far", "panel", 0.2, 0.7, swapped=True),
        Branch("spur", "box", "end", 0.3, 0.1, swapped=True),
    )
    loads = (Resistance("heater", "box", 15.0), Resistance("lamp", "far", 40.0), Resistance("coil", "end", 25.0))
    circuit = Circuit(Supply("panel", 24.0, 0.05), branches, loads)
    solution = solve(circuit)

    assert solution.voltages_v == pytest.approx(general_voltages(circuit), rel=1e-9)
    assert solution.voltages_v["box"] < 0 < solution.voltages_v["end"]
    assert lost_power(circuit, solution) == pytest.approx(0.0, abs=1e-9)


def test_power_in_equals_power_used_and_lost() -> None:
    tree = tapped_tree()
    ring = Circuit(tree.supply, (*tree.branches, cable("back", "r2", "s2", 12, 1.5)), tree.loads)

    for circuit in (tree, ring):
        assert lost_power(circuit, solve(circuit)) == pytest.approx(0.0, abs=1e-9)


def test_the_currents_at_a_junction_balance() -> None:
    solution = solve(tapped_tree())

    leaving = solution.out_currents_a["north-1"] + solution.out_currents_a["south-1"]

    assert solution.out_currents_a["riser"] == pytest.approx(leaving)
    assert solution.supply_current_a == pytest.approx(6.2)


def test_a_ring_fed_evenly_shares_its_current_between_both_sides() -> None:
    branches = (cable("left", "panel", "far", 30, 1.5), cable("right", "panel", "far", 30, 1.5))
    solution = solve(Circuit(Supply("panel", 24.0), branches, (ConstantCurrent("drive", "far", 2.0),)))

    assert solution.out_currents_a == pytest.approx({"left": 1.0, "right": 1.0})
    assert solution.voltages_v["far"] == pytest.approx(24 - 2 * 30 * 12.1 / 1000)


def test_a_ring_with_one_core_broken_carries_that_core_the_other_way() -> None:
    branches = (
        Branch("left", "panel", "far", inf, 0.5),
        Branch("right", "panel", "far", 0.5, 0.5),
    )
    solution = solve(Circuit(Supply("panel", 24.0), branches, (ConstantCurrent("drive", "far", 2.0),)))

    assert solution.out_currents_a == pytest.approx({"left": 0.0, "right": 2.0})
    assert solution.return_currents_a == pytest.approx({"left": 1.0, "right": 1.0})
    assert solution.voltages_v["far"] == pytest.approx(24 - 2 * 0.5 - 1 * 0.5)


def test_a_branch_drawn_backwards_carries_its_current_backwards() -> None:
    branches = (Branch("run", "far", "panel", 0.3, 0.2),)
    solution = solve(Circuit(Supply("panel", 24.0), branches, (ConstantCurrent("drive", "far", 2.0),)))

    assert solution.out_currents_a["run"] == pytest.approx(-2.0)
    assert solution.voltages_v["far"] == pytest.approx(23.0)


def test_nothing_arrives_beyond_an_open_core() -> None:
    branches = (Branch("near", "panel", "box", 0.1, 0.1), Branch("broken", "box", "far", inf, 0.1))
    loads = (ConstantCurrent("drive-1", "box", 1.0), ConstantCurrent("drive-2", "far", 1.0))
    solution = solve(Circuit(Supply("panel", 24.0), branches, loads))

    assert solution.voltages_v == pytest.approx({"panel": 24.0, "box": 23.8, "far": 0.0})
    assert solution.load_currents_a == {"drive-1": 1.0, "drive-2": 0.0}
    assert solution.unreached == {"far"}
    assert solution.dropped_out == ()


def test_exchanged_cores_turn_the_voltage_beyond_them() -> None:
    branches = (
        Branch("swapped", "panel", "box", 0.1, 0.3, swapped=True),
        Branch("beyond", "box", "far", 0.1, 0.1),
    )
    solution = solve(Circuit(Supply("panel", 24.0), branches, (ConstantCurrent("drive", "far", 1.0),)))

    assert solution.voltages_v == pytest.approx({"panel": 24.0, "box": -23.6, "far": -23.4})
    assert solution.out_currents_a == pytest.approx({"swapped": 1.0, "beyond": -1.0})


def test_a_ring_closed_with_exchanged_cores_is_called_a_short() -> None:
    branches = (
        cable("left", "panel", "far", 30, 1.5),
        Branch("right", "panel", "far", 0.4, 0.4, swapped=True),
    )
    with pytest.raises(ShortCircuit, match="branch right closes a ring"):
        solve(Circuit(Supply("panel", 24.0), branches, ()))


def test_a_drive_below_its_least_voltage_drops_out_and_the_rest_recovers() -> None:
    branches = (Branch("near", "panel", "box", 0.5, 0.5), Branch("long", "box", "far", 2.0, 2.0))
    loads = (
        ConstantCurrent("drive-1", "box", 1.0, least_voltage_v=19.2),
        ConstantCurrent("drive-2", "far", 1.0, least_voltage_v=19.2),
    )
    solution = solve(Circuit(Supply("panel", 24.0), branches, loads))

    assert solution.dropped_out == ("drive-2",)
    assert solution.voltages_v == pytest.approx({"panel": 24.0, "box": 23.0, "far": 23.0})


def test_a_power_no_cable_can_carry_drops_out_instead_of_giving_a_number() -> None:
    circuit = Circuit(
        Supply("panel", 24.0),
        (Branch("run", "panel", "far", 1.0, 1.0),),
        (ConstantPower("drive", "far", 80.0),),
    )

    assert solve(circuit).dropped_out == ("drive",)


@pytest.mark.parametrize("power_w", [60.0, 71.0, 71.9, 71.9999])
def test_a_power_just_below_the_limit_of_the_cable_still_settles(power_w: float) -> None:
    # two ohm at 24 V carry at most 24^2 / (4 * 2) = 72 W
    solution = solve(two_ohm_run(power_w))

    assert solution.voltages_v["far"] == pytest.approx((24 + (24**2 - 8 * power_w) ** 0.5) / 2, rel=1e-9)


@pytest.mark.parametrize("power_w", [72.0001, 73.0, 300.0])
def test_a_power_just_above_the_limit_of_the_cable_drops_out(power_w: float) -> None:
    assert solve(two_ohm_run(power_w)).dropped_out == ("drive",)


def test_powers_in_a_ring_settle_where_each_gets_its_power() -> None:
    branches = (
        cable("left", "panel", "a", 30, 1.5),
        cable("mid", "a", "b", 10, 1.5),
        cable("right", "b", "panel", 25, 1.5),
    )
    loads = (ConstantPower("drive-a", "a", 40.0), ConstantPower("drive-b", "b", 30.0), Resistance("heater", "b", 90.0))
    circuit = Circuit(Supply("panel", 24.0, 0.1), branches, loads)

    solution = solve(circuit)

    assert solution.load_currents_a["drive-a"] * solution.voltages_v["a"] == pytest.approx(40.0, rel=1e-12)
    assert solution.out_currents_a["left"] - solution.out_currents_a["mid"] == pytest.approx(
        solution.load_currents_a["drive-a"], rel=1e-9
    )
    assert lost_power(circuit, solution) == pytest.approx(0.0, abs=1e-8)


def test_a_ring_of_powers_too_large_drops_out() -> None:
    branches = (Branch("left", "panel", "far", 1.0, 1.0), Branch("right", "panel", "far", 1.0, 1.0))
    circuit = Circuit(Supply("panel", 24.0), branches, (ConstantPower("drive", "far", 150.0),))

    assert solve(circuit).dropped_out == ("drive",)


def test_a_short_at_the_far_end_takes_what_the_cable_lets_through() -> None:
    branches = (cable("run", "panel", "far", 40, 1.5),)
    loads = (Resistance("short", "far", 0.01), ConstantCurrent("drive", "far", 1.0, least_voltage_v=19.2))
    solution = solve(Circuit(Supply("panel", 24.0, 0.1), branches, loads))

    assert solution.supply_current_a == pytest.approx(24 / (0.1 + 0.968 + 0.01))
    assert solution.dropped_out == ("drive",)


@pytest.mark.parametrize(
    ("circuit", "named"),
    [
        (Circuit(Supply("p", 0.0), (), ()), "supply.voltage_v is 0; expected above 0"),
        (Circuit(Supply("p", 24.0, -1.0), (), ()), "supply.source_resistance_ohm is -1"),
        (Circuit(Supply("p", 24.0), (Branch("b", "p", "p", 1, 1),), ()), "branch b starts and ends at p"),
        (Circuit(Supply("p", 24.0), (Branch("b", "p", "q", -1, 1),), ()), "out_ohm of branch b is -1"),
        (Circuit(Supply("p", 24.0), (), (Resistance("r", "p", 0.0),)), "resistance_ohm of r is 0"),
        (Circuit(Supply("p", 24.0), (), (ConstantCurrent("d", "x", 1.0),)), "load d sits at node x"),
        (Circuit(Supply("p", 24.0), (), (ConstantPower("d", "p", -5.0),)), "power_w of d is -5"),
        (
            Circuit(Supply("p", 24.0), (), (ConstantCurrent("d", "p", 1.0), ConstantCurrent("d", "p", 2.0))),
            "two parts share the load name d",
        ),
    ],
)
def test_a_circuit_that_cannot_be_is_refused_by_name(circuit: Circuit, named: str) -> None:
    with pytest.raises(ValueError, match=named):
        solve(circuit)


def long_line(drives: int) -> Circuit:
    """Return so many drives on one line, each a step further, as deep as a tree can get."""
    branches = tuple(Branch(f"b{place}", f"n{place}", f"n{place + 1}", 1e-7, 1e-7) for place in range(drives))
    loads = tuple(ConstantCurrent(f"d{place}", f"n{place + 1}", 0.05) for place in range(drives))
    return Circuit(Supply("n0", 24.0), branches, loads)


def test_ten_thousand_drives_on_one_line_have_the_drop_of_the_closed_form() -> None:
    count, loop_ohm, each_a = 10_000, 2e-7, 0.05

    solution = solve(long_line(count))

    # the sum of 1 to n times current and resistance of a step
    assert solution.voltages_v[f"n{count}"] == pytest.approx(24 - loop_ohm * each_a * count * (count + 1) / 2)


def test_the_cost_grows_in_proportion_to_the_drives() -> None:
    def seconds(drives: int) -> float:
        circuit = long_line(drives)
        best = float("inf")
        for _ in range(5):
            started = time.process_time()
            solve(circuit)
            best = min(best, time.process_time() - started)
        return best

    assert seconds(10_000) < 25 * seconds(1_000)
