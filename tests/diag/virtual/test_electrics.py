"""Voltages and currents on the virtual site are those of the calculators, faults included."""

from __future__ import annotations

import pytest

from diag.calculators.circuits import Branch, Circuit, ConstantCurrent, Supply
from diag.calculators.conductors import core_resistance_ohm
from diag.calculators.flows import solve
from diag.virtual.electrics import JOINT_OHM, SOURCE_OHM, branch_of, cables_below, data_reaches, trip_current_a
from diag.virtual.faults import Fault
from diag.virtual.powered import field_volts, powered
from diag.virtual.site import VirtualSite
from tests.diag.virtual.sites import virtual

REAL_SHARE = 0.97
"""A real cable has a little less resistance than the most it may have."""


def cores_above(site: VirtualSite, drive: str) -> list[str]:
    """Return the cables from a drive up to its output."""
    return [it for it in site.topology.supply_path(drive) if it in site.fitted.cables]


def loop_ohm(site: VirtualSite, cable: str) -> float:
    """Return what both cores of a cable have at its temperature, worked out from its description."""
    it = site.topology.site.cables[cable]
    core = core_resistance_ohm(it.length_m or 0, it.area_mm2 or 0, it.conductor_class or 0, it.temperature_c or 0)
    return 2 * (REAL_SHARE * core + JOINT_OHM)


def test_the_voltage_at_the_end_of_a_run_is_the_supply_less_current_times_loop() -> None:
    site = virtual()
    state = site.feed.state_at("out4", 24.0, {"d11": 1.2, "d12": 1.2})
    trunk, lead = loop_ohm(site, "k14"), loop_ohm(site, "k15")
    assert state.voltages_v["d11"] == pytest.approx(24.0 - 2.4 * (SOURCE_OHM + trunk) - 1.2 * lead, abs=1e-6)


def test_a_whole_tree_agrees_with_the_circuit_calculator() -> None:
    site = virtual()
    drawn = {"d7": 1.2, "d8": 1.1, "d9": 0.9, "d10": 1.3}
    branches = tuple(
        Branch(it, str(cable.from_), str(cable.to), loop_ohm(site, it) / 2, loop_ohm(site, it) / 2)
        for it in cables_below(site.topology, "out3")
        for cable in [site.topology.site.cables[it]]
    )
    loads = tuple(ConstantCurrent(it, it, amps) for it, amps in drawn.items())
    expected = solve(Circuit(Supply("out3", 23.5, SOURCE_OHM), branches, loads))
    found = site.feed.state_at("out3", 23.5, drawn)
    assert found.current_a == pytest.approx(sum(drawn.values()))
    assert all(found.voltages_v[it] == pytest.approx(expected.voltages_v[it], abs=1e-9) for it in drawn)


def test_behind_an_open_core_there_is_nothing_and_before_it_the_full_voltage() -> None:
    site = virtual(Fault("core-open", "k10"))
    assert field_volts(site, "out3", "j3") == pytest.approx(24.0, abs=1.5)
    assert field_volts(site, "out3", "d7") == 0.0
    assert field_volts(site, "out3", "d8") == pytest.approx(24.0, abs=1.5)


def test_behind_an_open_trunk_all_drives_are_without_voltage() -> None:
    site = virtual(Fault("core-open", "k14"))
    assert field_volts(site, "out4", "out4") == pytest.approx(24.0, abs=0.5)
    assert [field_volts(site, "out4", it) for it in ("j4", "d11", "d12")] == [0.0, 0.0, 0.0]


def test_a_swapped_lead_turns_the_voltage_of_its_drive_alone() -> None:
    site = virtual(Fault("polarity-swapped", "d7"))
    assert field_volts(site, "out3", "d7") < -20.0
    assert field_volts(site, "out3", "d8") > 20.0


def test_a_short_trips_its_output_and_leaves_the_others() -> None:
    site = virtual(Fault("core-short", "k2", severity=1.0), name="small")
    assert powered(site, "out1").state.tripped
    assert not powered(site, "out2").state.tripped


def test_a_short_on_a_fused_output_either_blows_its_fuse_or_trips_it() -> None:
    blown = [virtual(Fault("core-short", "k12", 1.0), seed=it) for it in range(20)]
    assert {it.fitted.outputs["out3"].fuse_whole for it in blown} == {True, False}
    assert all(powered(it, "out3").state.tripped == it.fitted.outputs["out3"].fuse_whole for it in blown)
    assert all(it.press("sw-a", "open").runs["d9"].moved_mm == 0.0 for it in blown)


def test_the_worse_a_joint_the_less_is_left_behind_it() -> None:
    behind = [field_volts(virtual(Fault("loose-terminal", "k14", it)), "out4", "d11") for it in (0.0, 0.5, 1.0)]
    assert behind == sorted(behind, reverse=True)
    assert behind[0] - behind[-1] > 3.0


def test_a_loose_joint_hides_while_nothing_draws() -> None:
    site = virtual(Fault("loose-terminal", "k14", 1.0))
    assert site.feed.state_at("out4", 24.0, {}).voltages_v["d11"] == pytest.approx(24.0)


def test_a_thinner_cable_than_drawn_has_more_resistance() -> None:
    sound, thin = virtual(), virtual(Fault("cable-undersized", "k9", 1.0))
    ratio = branch_of(thin.topology, thin.fitted, "k9").out_ohm / branch_of(sound.topology, sound.fitted, "k9").out_ohm
    assert ratio > 2.0


def test_an_output_gives_up_above_its_trip_current_and_not_below() -> None:
    site = virtual()
    limit = trip_current_a(site.topology, site.fitted, "out3")
    assert limit == 12.0
    assert not site.feed.state_at("out3", 24.0, {"d7": limit - 0.1}).tripped
    assert site.feed.state_at("out3", 24.0, {"d7": limit + 0.1}).tripped


def test_a_broken_data_core_keeps_the_command_from_its_drive_only() -> None:
    site = virtual(Fault("data-core-open", "k2"))
    assert [data_reaches(site.topology, site.fitted, it) for it in ("d1", "d2")] == [False, True]
    runs = site.press("sw-n", "open").runs
    assert runs["d1"].stop == "no-data"
    assert runs["d2"].stop == "end"


def test_wiring_that_changes_under_way_is_looked_at_anew_when_told() -> None:
    site = virtual()
    before = field_volts(site, "out3", "d7")
    site.fitted.cables["k10"].swapped = True
    site.feed.wiring.forget()
    assert field_volts(site, "out3", "d7") == pytest.approx(-before)


def test_an_output_kind_of_230_v_gives_mains() -> None:
    site = virtual(name="workshop")
    assert field_volts(site, "o1", "d1") == pytest.approx(230.0, abs=1.0)
