"""A site is what its seed says, people can command it, and faults come, go and are mended."""

from __future__ import annotations

import pytest

from diag.virtual.equivalents import is_right, mends
from diag.virtual.faults import Fault
from diag.virtual.noticing import complaints
from diag.virtual.pairs import TOGETHER, are_near, draw_pair, places
from tests.diag.virtual.sites import topology_named, virtual

COMES_AND_GOES = Fault("core-open", "k10", 1.0, share_of_time=0.6)


def test_the_same_seed_gives_the_same_complaints() -> None:
    faults = (Fault("switch-contact-failed", "sw-n", 0.4), Fault("lockout-active", "za", 0.7))
    assert complaints(virtual(*faults, seed=11)) == complaints(virtual(*faults, seed=11))


def test_other_seeds_give_other_details_of_the_same_fault() -> None:
    sides = {
        virtual(Fault("switch-contact-failed", "sw-n"), seed=it).fitted.inputs["sw-n"].contact_side for it in range(12)
    }
    assert sides == {"open", "close", "both"}


def test_an_intermittent_fault_is_there_for_its_share_of_the_time() -> None:
    site = virtual(COMES_AND_GOES, seed=3)
    there = 0
    for _ in range(400):
        site.settle()
        there += site.fitted.cables["k10"].out_open
    assert 0.5 < there / 400 < 0.7


def test_a_lasting_fault_is_always_there() -> None:
    site = virtual(Fault("core-open", "k10"), seed=3)
    for _ in range(50):
        site.settle()
        assert site.fitted.cables["k10"].out_open


def test_people_tell_of_an_intermittent_fault_that_it_comes_and_goes() -> None:
    assert virtual(COMES_AND_GOES).history.comes_and_goes
    assert "intermittent" in {it.symptom for it in complaints(virtual(COMES_AND_GOES))}


def test_a_proof_shows_an_intermittent_fault_that_is_left() -> None:
    site = virtual(COMES_AND_GOES, Fault("polarity-swapped", "d11"), seed=3)
    site.repair("polarity-swapped", "d11")
    assert site.fitted.cables["k10"].out_open


def test_mending_a_cause_that_is_not_there_changes_nothing() -> None:
    site = virtual(Fault("core-open", "k10"))
    before = complaints(site)
    assert not site.repair("core-open", "k11")
    assert complaints(site) == before


def test_a_tap_below_the_threshold_does_not_start_a_movement() -> None:
    site = virtual()
    assert site.press("sw-a", "open", seconds=0.3).moved == ()
    assert len(site.press("sw-a", "open", seconds=1.0).moved) == 6


def test_a_crossed_circuit_moves_the_other_zone() -> None:
    site = virtual(Fault("circuits-crossed", "out1"))
    assert set(site.press("sw-n", "open").moved) == {"d4", "d5", "d6"}
    assert is_right(site, "circuits-crossed", "out2")


def test_a_shared_lockout_counts_at_every_zone() -> None:
    site = virtual(Fault("lockout-active", "za"))
    assert is_right(site, "lockout-active", "zn")


def test_a_cause_at_another_part_is_not_right() -> None:
    site = virtual(Fault("core-open", "k10"))
    assert is_right(site, "core-open", "k10")
    assert not is_right(site, "core-open", "k11")
    assert not is_right(site, "core-short", "k10")


def test_a_cause_that_means_two_faults_is_right_only_with_both_and_mends_both() -> None:
    battery, charger = Fault("battery-aged", "c1"), Fault("charger-failed", "c1")
    assert is_right(virtual(battery, charger), "battery-and-charger-failed", "c1")
    assert not is_right(virtual(battery), "battery-and-charger-failed", "c1")
    assert set(mends(virtual(battery, charger), "battery-and-charger-failed", "c1")) == {battery, charger}


@pytest.mark.parametrize("name", sorted(TOGETHER))
def test_every_pair_has_a_place_on_the_medium_site_with_parts_near_each_other(name: str) -> None:
    topology = topology_named("medium")
    found = list(places(topology, TOGETHER[name]))
    assert found != []
    assert all(are_near(topology, one, other) for (_, one), (_, other) in found)


def test_a_drawn_pair_has_one_event_behind_it() -> None:
    site = virtual(seed=1)
    pair = draw_pair(site.topology, site.dice)
    assert pair is not None
    assert any(pair[0][0] in first and pair[1][0] in second for first, second in TOGETHER.values())
