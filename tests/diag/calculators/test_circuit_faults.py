"""One fault put into a circuit shows where a meter would find it."""

from math import inf

import pytest

from diag.calculators.circuit_faults import (
    branches_before,
    loosen_joint,
    matching_cases,
    open_core,
    remove_load,
    short_cores,
    swap_cores,
    voltages_by_case,
    wet_box,
)
from diag.calculators.circuits import Branch, Circuit, ConstantCurrent, Supply, cable
from diag.calculators.flows import solve


def two_drives() -> Circuit:
    """Return a panel, a junction box 25 m away and two drives beyond it."""
    branches = (
        cable("trunk", "panel", "box", 25, 1.5),
        cable("left", "box", "drive-left", 6, 1.5),
        cable("right", "box", "drive-right", 9, 1.5),
    )
    loads = (
        ConstantCurrent("left", "drive-left", 1.0, least_voltage_v=19.2),
        ConstantCurrent("right", "drive-right", 1.0, least_voltage_v=19.2),
    )
    return Circuit(Supply("panel", 24.0, 0.1), branches, loads)


def test_full_voltage_at_a_point_means_the_core_is_open_beyond_it() -> None:
    sound, broken = two_drives(), open_core(two_drives(), "left")

    assert solve(broken).voltages_v["box"] == pytest.approx(24 - 1.0 * (0.1 + 0.605))
    assert solve(broken).voltages_v["drive-left"] == 0.0
    assert solve(broken).voltages_v["drive-right"] > solve(sound).voltages_v["drive-right"]


def test_no_voltage_at_a_point_means_the_core_is_open_before_it() -> None:
    solution = solve(open_core(two_drives(), "trunk", "return"))

    assert solution.voltages_v == {"panel": 24.0, "box": 0.0, "drive-left": 0.0, "drive-right": 0.0}
    assert solution.supply_current_a == 0.0


def test_a_loose_joint_takes_its_volts_only_while_current_flows() -> None:
    loose = loosen_joint(two_drives(), "right", 2.0)
    resting = remove_load(loose, "right")

    assert solve(loose).voltages_v["box"] - solve(loose).voltages_v["drive-right"] == pytest.approx(2.0 + 0.2178)
    assert solve(resting).voltages_v["drive-right"] == solve(resting).voltages_v["box"]


def test_a_very_bad_joint_makes_its_drive_give_up_and_leaves_the_other_running() -> None:
    solution = solve(loosen_joint(two_drives(), "right", 8.0))

    assert solution.dropped_out == ("right",)
    assert solution.load_currents_a == {"left": 1.0, "right": 0.0}


def test_swapped_cores_turn_one_drive_and_swapping_twice_turns_nothing() -> None:
    swapped = swap_cores(two_drives(), "left")

    assert solve(swapped).voltages_v["drive-left"] == -solve(two_drives()).voltages_v["drive-left"]
    assert solve(swapped).voltages_v["drive-right"] == solve(two_drives()).voltages_v["drive-right"]
    assert solve(swap_cores(swapped, "left")) == solve(two_drives())


def test_a_short_in_the_box_stops_everything_and_draws_what_the_cable_allows() -> None:
    solution = solve(short_cores(two_drives(), "box"))

    assert solution.dropped_out == ("left", "right")
    assert solution.supply_current_a == pytest.approx(24 / (0.1 + 0.605 + 0.01))
    assert solution.voltages_v["box"] == pytest.approx(0.3357, abs=1e-3)


def test_a_wet_box_draws_current_with_every_drive_still() -> None:
    resting = remove_load(remove_load(two_drives(), "left"), "right")

    assert solve(resting).supply_current_a == 0.0
    assert solve(wet_box(resting, "box", 2_400.0)).supply_current_a == pytest.approx(0.01, rel=1e-3)


def test_a_reading_picks_the_faults_that_would_show_it() -> None:
    sound = two_drives()
    cases = {
        "sound": sound,
        "left open": open_core(sound, "left"),
        "trunk open": open_core(sound, "trunk"),
        "loose at the left drive": loosen_joint(sound, "left", 3.0),
        "left swapped": swap_cores(sound, "left"),
    }
    at_left = voltages_by_case(cases, "drive-left")

    assert matching_cases(0.1, at_left, 0.5) == ("left open", "trunk open")
    assert matching_cases(-22.4, at_left, 0.5) == ("left swapped",)
    assert matching_cases(19.5, at_left, 0.5) == ("loose at the left drive",)
    assert matching_cases(12.0, at_left, 0.5) == ()
    assert matching_cases(23.1, voltages_by_case(cases, "box"), 0.5)[0] == "left open"


def test_a_node_hangs_on_the_branches_between_it_and_the_supply() -> None:
    assert branches_before(two_drives(), "drive-right") == ("trunk", "right")
    assert branches_before(two_drives(), "panel") == ()


def test_a_node_in_a_ring_hangs_on_no_branch_of_the_ring() -> None:
    tree = two_drives()
    ring = Circuit(tree.supply, (*tree.branches, Branch("back", "drive-left", "panel", 0.2, 0.2)), tree.loads)

    assert branches_before(ring, "drive-left") == ()
    assert branches_before(ring, "drive-right") == ("right",)


def test_a_fault_needs_a_part_that_is_there() -> None:
    with pytest.raises(ValueError, match="branch is attic; expected the name of a branch"):
        open_core(two_drives(), "attic")
    with pytest.raises(ValueError, match="load is attic; expected the name of a load"):
        remove_load(two_drives(), "attic")
    with pytest.raises(ValueError, match="core is middle; expected out, return or both"):
        open_core(two_drives(), "trunk", "middle")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="load leak at attic sits at node attic"):
        solve(wet_box(two_drives(), "attic", 100.0))


def test_the_circuit_that_was_given_stays_sound() -> None:
    sound = two_drives()
    broken = open_core(sound, "trunk", "both")

    assert sound == two_drives()
    assert (broken.branches[0].out_ohm, broken.branches[0].return_ohm) == (inf, inf)
