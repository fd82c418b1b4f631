"""A description read out of the settings tells what is set, and a zone is as meant when nothing differs."""

from __future__ import annotations

import pytest

from diag.virtual.as_meant import is_as_meant
from diag.virtual.as_set import as_set
from diag.virtual.faults import Fault
from diag.virtual.positions import position_agrees
from tests.diag.virtual.sites import NAMES, site_named, virtual


@pytest.mark.parametrize("name", NAMES)
def test_the_settings_of_a_sound_site_are_its_description(name: str) -> None:
    assert as_set(site_named(name), virtual(name=name).fitted) == site_named(name)


def test_a_value_set_wrong_shows_in_the_description_read_out() -> None:
    found = as_set(site_named("medium"), virtual(Fault("hold-off-too-long", "zn")).fitted)
    assert (found.zones["zn"].hold_off_minutes or 0) >= 360
    assert found.zones["zs"] == site_named("medium").zones["zs"]


def test_wear_and_wiring_do_not_show_in_the_description() -> None:
    worn = virtual(Fault("hinge-seized", "w1"), Fault("core-open", "k2"), Fault("input-not-assigned", "sw-a"))
    assert as_set(site_named("medium"), worn.fitted) == site_named("medium")


@pytest.mark.parametrize("cause", ["as-designed", "hold-off-active"])
def test_designed_behaviour_leaves_the_zone_as_meant(cause: str) -> None:
    assert is_as_meant(virtual(Fault(cause, "zn")), "zn")


def test_a_fault_in_one_zone_leaves_another_as_meant() -> None:
    site = virtual(Fault("core-open", "k2"))
    assert not is_as_meant(site, "zn")
    assert is_as_meant(site, "za")


@pytest.mark.parametrize(
    ("cause", "drive", "agrees"),
    [
        ("drive-reference-lost", "d1", False),
        ("damper-linkage-slipped", "d13", False),
        ("drive-direction-set-wrong", "d1", False),
        ("hinge-seized", "d1", True),
    ],
)
def test_the_shown_position_disagrees_where_the_drive_counts_what_nobody_sees(
    cause: str, drive: str, agrees: bool
) -> None:
    part = "w1" if cause == "hinge-seized" else drive
    assert position_agrees(virtual(Fault(cause, part)), drive) is agrees
    assert position_agrees(virtual(), drive)
