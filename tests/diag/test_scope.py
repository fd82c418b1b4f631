"""Which parts a diagnosis reasons over, and what stands in for parts nobody described."""

from __future__ import annotations

from diag.demo import load_demo
from diag.scope import OWN_CABLE, SHARED_CABLE, Scope, is_stand_in
from diag.site import Site
from diag.topology import read_topology

SMALL = Scope(read_topology(load_demo("small")))
BARE = Scope(read_topology(Site(name="bare")))


def test_the_chain_of_a_drive_holds_its_supply_its_opening_and_its_commands() -> None:
    chain = SMALL.chain("d1")

    assert {"k2", "j1", "k1", "out1", "c1", "w1", "za", "sw-a", "th1", "lo-rain"} <= chain
    assert not {"d2", "k3", "out2", "zb", "sw-b"} & chain


def test_parts_are_related_along_a_chain_in_either_direction() -> None:
    assert SMALL.related("k1", "d1")
    assert SMALL.related("d1", "out1")
    assert not SMALL.related("k3", "d1")


def test_a_site_without_description_is_reasoned_over_with_linked_stand_ins() -> None:
    chain = BARE.chain("?drive")

    assert {OWN_CABLE, SHARED_CABLE, "?output", "?controller", "?opening", "?zone", "?input-switch"} <= chain


def test_nothing_stands_in_for_a_kind_of_part_the_site_is_known_not_to_have() -> None:
    assert not any(part.startswith("?link") for part in SMALL.chain("za"))
    assert any(part.startswith("?link") for part in BARE.chain("?zone"))


def test_an_input_without_a_zone_may_be_meant_for_any_zone_of_its_controller() -> None:
    site = load_demo("small")
    forgotten = site.inputs["rain1"].model_copy(update={"zones": []})
    scope = Scope(read_topology(site.model_copy(update={"inputs": {**site.inputs, "rain1": forgotten}})))

    assert "rain1" in scope.closure(["za"])
    assert "rain1" not in scope.chain("za")
    assert "sw-b" not in scope.closure(["za"])


def test_the_only_part_of_a_kind_is_meant_when_none_is_named() -> None:
    assert SMALL.one("controller") == "c1"
    assert is_stand_in(SMALL.one("drive"))


def test_the_parts_of_a_controller_case_include_its_outputs_and_cables() -> None:
    assert {"out1", "out2", "out3", "k1", "k4", "za", "zb"} <= set(SMALL.closure(["c1"]))
