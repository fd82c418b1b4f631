"""Which zones and which input an event is about."""

from __future__ import annotations

import pytest

from diag.errors import UnknownPart
from diag.timeline.targets import Target, find_target, zones_of_part
from tests.diag.timeline.told import medium


def target(source: str, zone: str | None = None) -> Target:
    plan = medium()
    return find_target(plan, source, zone, plan.zones)


def test_an_input_reaches_its_zones_and_the_lockouts_that_watch_it() -> None:
    found = target("rain")

    assert (found.zones, found.lockouts, found.is_lockout) == (("zn", "zs", "za"), ("lo-rain",), False)


def test_a_class_means_the_only_input_of_it_in_the_zone() -> None:
    assert target("manual", "zn").source.part == "sw-n"
    assert target("manual").source.part == "manual"
    assert target("wind").source.part == "wind"


def test_a_zone_narrows_what_an_input_reaches() -> None:
    assert target("ks", "zd").zones == ("zd",)


def test_a_link_reaches_its_zones() -> None:
    assert target("bl1").zones == ("zn", "zs", "zd")


@pytest.mark.parametrize(
    ("part", "zones"),
    [
        ("zn", ["zn"]),
        ("d13", ["zd"]),
        ("w4", ["zs"]),
        ("f1", ["zd"]),
        ("out3", ["za"]),
        ("j1", []),
        ("c1", ["zn", "zs", "za", "zd"]),
    ],
)
def test_a_part_belongs_to_the_zones_it_moves(part: str, zones: list[str]) -> None:
    assert list(zones_of_part(medium(), part)) == zones


def test_a_name_the_site_does_not_have_is_refused_with_the_nearest() -> None:
    with pytest.raises(UnknownPart, match="rain"):
        target("rian")
