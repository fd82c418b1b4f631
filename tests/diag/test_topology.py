"""Relations read from a site description."""

from __future__ import annotations

from diag.demo import load_demo
from diag.site import Site
from diag.topology import read_topology

SMALL = read_topology(load_demo("small"))


def test_the_supply_path_leads_from_the_drive_to_its_output() -> None:
    assert SMALL.supply_path("d2") == ("k3", "j1", "k1")


def test_a_trunk_feeds_every_drive_beyond_it_and_a_lead_only_one() -> None:
    assert SMALL.fed_through("k1") == ("d1", "d2")
    assert SMALL.fed_through("k3") == ("d2",)


def test_a_zone_has_the_drives_of_its_openings_and_the_inputs_that_name_it() -> None:
    assert SMALL.consumers_of_zone("za") == ("d1", "d2", "d3")
    assert SMALL.inputs_of_zone("zb") == ("rain1", "sw-b", "th1")


def test_an_empty_group_is_described_and_a_missing_one_is_not() -> None:
    assert SMALL.describes("link")
    assert not read_topology(Site(name="bare")).describes("link")


def test_a_part_without_a_name_is_known_by_its_id() -> None:
    assert SMALL.name("d1") == "drive of the left window"
    assert read_topology(Site(name="bare", outputs={"o1": {}})).name("o1") == "o1"
