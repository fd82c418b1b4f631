"""The campus is the same for the same numbers, of the size asked for, and sound."""

from __future__ import annotations

import pytest

from diag.campus import build_campus
from diag.demo import load_demo
from diag.site import Site
from diag.site_file import dump_site, read_site

ALLOWED_TRUNK_DROP_V = 2.0
OHM_KM_50C = {1.5: 12.1 * 1.1179, 2.5: 7.41 * 1.1179, 4.0: 4.61 * 1.1179, 6.0: 3.08 * 1.1179, 10.0: 1.83 * 1.1179}
"""IEC 60228 class 2 maximum at 20 C, times the copper factor of 50 C."""

FIRST_OUTPUTS = [("reversing-24v", 3), ("data-24v", 2), ("reversing-24v", 4), ("data-24v", 2), ("data-24v", 1)]


@pytest.fixture(scope="module")
def campus() -> Site:
    return load_demo("campus")


def test_the_demo_campus_has_forty_controllers_and_a_thousand_drives(campus: Site) -> None:
    assert (len(campus.controllers), len(campus.drives)) == (40, 1000)


def test_the_same_numbers_give_the_same_campus_and_another_seed_another() -> None:
    assert dump_site(build_campus(5, 60)) == dump_site(build_campus(5, 60))
    assert build_campus(5, 60, seed=8) != build_campus(5, 60)


def test_the_first_random_choices_are_those_of_every_python() -> None:
    outputs = build_campus(1, 12, seed=7).outputs

    assert [(it.kind, it.expected_drives) for it in outputs.values()] == FIRST_OUTPUTS


def test_the_campus_passes_the_loader_and_survives_being_written(campus: Site) -> None:
    assert read_site(dump_site(campus)) == campus


@pytest.mark.parametrize(("controllers", "drives"), [(1, 10), (10, 10), (3, 100), (120, 3000)])
def test_any_size_is_built_with_every_drive_fed_and_in_a_zone(controllers: int, drives: int) -> None:
    campus = build_campus(controllers, drives)
    fed = {cable.to for cable in campus.cables.values()}
    in_zones = {opening for zone in campus.zones.values() for opening in zone.openings or ()}

    assert (len(campus.controllers), len(campus.drives)) == (controllers, drives)
    assert set(campus.drives) <= fed
    assert {drive.opening for drive in campus.drives.values()} == in_zones
    assert {output.controller for output in campus.outputs.values()} == set(campus.controllers)


@pytest.mark.parametrize(("controllers", "drives"), [(0, 10), (11, 10), (-1, 5)])
def test_a_size_that_leaves_controllers_without_drives_is_refused(controllers: int, drives: int) -> None:
    with pytest.raises(ValueError, match=f"controllers is {controllers}; allowed: 1 to the number of drives"):
        build_campus(controllers, drives)


def test_kinds_of_output_and_opening_are_mixed(campus: Site) -> None:
    assert len({output.kind for output in campus.outputs.values()}) == 4
    assert {opening.kind for opening in campus.openings.values()} == {"window", "roof-vent", "louvre", "damper"}


def test_outputs_expect_their_drives_and_carry_them(campus: Site) -> None:
    for name, output in campus.outputs.items():
        drives = [drive for drive in campus.drives.values() if drive.output == name]
        addresses = [drive.address for drive in drives if drive.address is not None]

        assert len(drives) == output.expected_drives
        assert len(set(addresses)) == len(addresses)
        assert output.rated_current_a is not None
        assert sum(drive.cut_off_current_a or 0 for drive in drives) <= output.rated_current_a


def test_trunks_are_thick_enough_for_all_drives_of_their_output(campus: Site) -> None:
    for name in campus.outputs:
        trunk = campus.cables[f"k-{name}"]
        current_a = sum(it.cut_off_current_a or 0 for it in campus.drives.values() if it.output == name)
        assert trunk.length_m is not None
        assert trunk.area_mm2 is not None

        assert 2 * trunk.length_m / 1000 * OHM_KM_50C[trunk.area_mm2] * current_a < ALLOWED_TRUNK_DROP_V


def test_no_two_controllers_share_an_address_on_one_trunk() -> None:
    links = list(build_campus(60, 120).links.values())

    assert len({(link.trunk, link.address) for link in links}) == len(links)
