"""What people complain of follows from what the site does when they try it."""

from __future__ import annotations

import pytest

from diag.virtual.faults import Fault
from diag.virtual.noticing import complaints
from tests.diag.virtual.sites import virtual

CALLS = [
    ("core-open", "k2", "medium", ("drive-dead", "d1")),
    ("core-open", "k1", "medium", ("zone-dead", "zn")),
    ("output-fuse-blown", "out1", "medium", ("zone-dead", "zn")),
    ("polarity-swapped", "d3", "small", ("runs-reversed", "d3")),
    ("switch-open-close-swapped", "sw-a", "medium", ("runs-reversed", "za")),
    ("switch-common-open", "sw-a", "medium", ("manual-ignored", "sw-a")),
    ("circuits-crossed", "out1", "medium", ("wrong-zone-moves", "zn")),
    ("tap-function-missing", "sw-n", "medium", ("tap-does-not-stop", "sw-n")),
    ("automatic-disabled", "zn", "medium", ("automatic-ignored", "zn")),
    ("rain-sensor-dirty", "rain", "medium", ("always-held-closed", "zn")),
    ("input-not-assigned", "rain", "medium", ("opens-in-rain", "za")),
    ("wind-sensor-stuck", "wind", "medium", ("wont-close-in-wind", "za")),
    ("drive-sync-lost", "rv1", "medium", ("pair-out-of-step", "rv1")),
    ("drive-gear-worn", "d1", "medium", ("noisy", "d1")),
    ("drive-stroke-set-wrong", "d1", "medium", ("stops-part-way", "d1")),
    ("seal-worn", "rv1", "medium", ("not-tight", "rv1")),
    ("mains-absent", "c1", "small", ("panel-dark", "c1")),
    ("end-of-line-missing", "out3", "medium", ("drive-line-fault", "out3")),
    ("earth-leakage", "k9", "medium", ("earth-fault", "c1")),
    ("call-point-operated", "cp1", "medium", ("wont-close-after-alarm", "za")),
    ("detector-head-missing", "sd1", "medium", ("smoke-test-no-open", "za")),
    ("data-core-open", "k2", "medium", ("discovery-finds-fewer", "out1")),
    ("expected-count-wrong", "out1", "medium", ("discovery-finds-fewer", "out1")),
    ("schedule-wrong", "zd", "medium", ("wrong-time", "zd")),
    ("link-cable-open", "bl1", "medium", ("building-link-offline", "bl1")),
    ("link-object-wrong", "bl1", "medium", ("building-link-ignored", "bl1")),
    ("damper-blade-stuck", "dm1", "medium", ("damper-not-following", "d13")),
    ("damper-linkage-slipped", "d13", "medium", ("position-reads-wrong", "d13")),
    ("fan-overload-tripped", "f1", "medium", ("fan-does-not-run", "f1")),
    ("fan-phase-order", "f1", "workshop", ("fan-wrong-direction", "f1")),
    ("output-overcurrent-trip", "out1", "medium", ("stops-when-many-move", "out1")),
    ("settings-not-saved", "c1", "medium", ("settings-lost", "c1")),
    ("insect-screen-clogged", "za", "medium", ("never-opens-for-heat", "za")),
    ("as-designed", "zn", "medium", ("moves-slowly", "zn")),
]


@pytest.mark.parametrize(("cause", "part", "name", "call"), CALLS)
def test_the_usual_call_about_a_cause_is_among_what_people_notice(
    cause: str, part: str, name: str, call: tuple[str, str]
) -> None:
    seeds = range(6)
    noticed = {
        (it.symptom, it.part) for seed in seeds for it in complaints(virtual(Fault(cause, part), name=name, seed=seed))
    }
    assert call in noticed


def test_only_the_drive_behind_a_broken_lead_is_called_dead() -> None:
    noticed = {it.part for it in complaints(virtual(Fault("core-open", "k2"))) if it.symptom == "drive-dead"}
    assert noticed == {"d1"}


def test_with_a_dark_panel_nobody_calls_about_a_single_drive() -> None:
    site = virtual(Fault("mains-absent", "c1"), Fault("core-open", "k2"), name="small")
    assert {it.part for it in complaints(site)} <= {"c1", "za", "zb"}


def test_a_spring_that_shuts_a_dead_damper_is_not_called_running_backwards() -> None:
    symptoms = {it.symptom for it in complaints(virtual(Fault("core-open", "k18")))}
    assert "runs-reversed" not in symptoms
    assert "damper-not-following" in symptoms


def test_looking_for_complaints_leaves_no_command_and_no_movement_behind() -> None:
    site = virtual(Fault("hinge-seized", "w1", 0.7))
    first = complaints(site)
    assert complaints(site) == first
    assert site.commands.by_hand == {}


def test_a_dead_damper_with_a_spring_moves_neither_way() -> None:
    site = virtual(Fault("output-fuse-blown", "out5"))
    site.stand_at(0.5)
    opened, closed = site.command_at_panel("zd", "open"), site.command_at_panel("zd", "close")
    assert (opened.moved, closed.moved) == ((), ())
