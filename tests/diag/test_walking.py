"""Minutes on foot between places."""

from __future__ import annotations

from diag.demo import load_demo
from diag.topology import read_topology
from diag.walking import TAKEN_MINUTES, Walks
from knowledge.load import Knowledge

SMALL = Walks(read_topology(load_demo("small")))


def test_a_walk_takes_the_same_minutes_both_ways() -> None:
    assert SMALL.minutes("cupboard", "roof") == 6
    assert SMALL.minutes("roof", "cupboard") == 6


def test_staying_costs_nothing_and_an_unknown_walk_takes_a_fixed_time() -> None:
    assert SMALL.minutes("roof", "roof") == 0
    assert SMALL.minutes("roof", None) == 0
    assert SMALL.minutes("roof", "cellar") == TAKEN_MINUTES


def test_a_walk_goes_by_way_of_other_places_when_that_is_shorter() -> None:
    site = load_demo("small")
    places = {name: it.model_copy(update={"walk_minutes": {}}) for name, it in site.places.items()}
    places["cupboard"] = places["cupboard"].model_copy(update={"walk_minutes": {"door": 1.0}})
    places["door"] = places["door"].model_copy(update={"walk_minutes": {"roof": 4.0}})

    assert Walks(read_topology(site.model_copy(update={"places": places}))).minutes("cupboard", "roof") == 5


def test_a_check_at_a_drive_is_made_where_the_drive_is_and_one_at_the_panel_at_the_panel(knowledge: Knowledge) -> None:
    assert SMALL.place_of(knowledge.checks["volts-drive"], "d4", "c1") == "roof"
    assert SMALL.place_of(knowledge.checks["volts-output"], "out2", "c1") == "cupboard"
    assert SMALL.place_of(knowledge.checks["ask-since-when"], "site", "c1") is None


def test_a_part_without_a_place_stands_where_what_it_is_fitted_to_does() -> None:
    assert SMALL.place_of_part("d4") == "roof"
    assert SMALL.place_of_part("out2") == "cupboard"
    assert SMALL.place_of_part("?drive") is None
