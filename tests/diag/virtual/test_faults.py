"""Every fault that can be put into a site shows itself, and none shows on a sound one."""

from __future__ import annotations

from random import Random

import pytest

from diag.virtual.faults import FAULTS, Fault, places_for, possible_faults
from diag.virtual.noticing import complaints
from tests.diag.virtual.sites import NAMES, home_of, place_of, topology_named, virtual


def test_at_least_ninety_causes_can_be_put_into_a_site() -> None:
    assert len(FAULTS) >= 90


@pytest.mark.parametrize("name", NAMES)
def test_nobody_complains_of_a_sound_site(name: str) -> None:
    assert complaints(virtual(name=name)) == []


@pytest.mark.parametrize("cause", sorted(FAULTS))
def test_each_cause_at_its_worst_is_noticed(cause: str) -> None:
    fault = Fault(cause, place_of(cause), severity=1.0)
    noticed = complaints(virtual(fault, name=home_of(cause)))
    assert noticed != []


@pytest.mark.parametrize("cause", sorted(FAULTS))
def test_once_mended_nobody_complains_any_more(cause: str) -> None:
    site = virtual(Fault(cause, place_of(cause)), name=home_of(cause))
    assert site.repair(cause, place_of(cause))
    assert complaints(site) == []


def test_a_fault_of_two_leaves_the_other_when_it_is_mended() -> None:
    site = virtual(Fault("core-open", "k2"), Fault("polarity-swapped", "d7"))
    site.repair("core-open", "k2")
    assert {(it.symptom, it.part) for it in complaints(site)} == {
        (it.symptom, it.part) for it in complaints(virtual(Fault("polarity-swapped", "d7")))
    }


def test_a_cause_cannot_sit_at_a_part_of_another_kind() -> None:
    with pytest.raises(ValueError, match="core-open sits at a cable; d1 is none"):
        virtual(Fault("core-open", "d1"))


def test_a_cause_has_no_place_where_the_site_lacks_what_it_needs() -> None:
    assert places_for(topology_named("medium"), "fan-belt-broken") == ()
    assert places_for(topology_named("workshop"), "fan-belt-broken") == ("f1",)


def test_every_possible_fault_names_a_described_part() -> None:
    topology = topology_named("medium")
    found = list(possible_faults(topology))
    assert len(found) > 300
    assert {part for _, part in found} <= set(topology.parts)


@pytest.mark.parametrize("seed", range(24))
def test_any_two_faults_can_be_there_together_and_be_mended_one_by_one(seed: int) -> None:
    dice = Random(seed)
    name = dice.choice(NAMES)
    drawn = dice.sample(list(possible_faults(topology_named(name))), 2)
    site = virtual(*(Fault(cause, part, dice.random()) for cause, part in drawn), name=name, seed=seed)
    both = complaints(site)
    for cause, part in drawn:
        assert site.repair(cause, part)
    assert complaints(site) == []
    assert len(both) == len({(it.symptom, it.part) for it in both})


def test_a_severer_fault_shows_at_least_as_much_in_a_loose_joint() -> None:
    drops = []
    for severity in (0.2, 0.6, 1.0):
        site = virtual(Fault("loose-terminal", "k9", severity))
        drops.append(site.fitted.cables["k9"].added_ohm)
    assert drops == sorted(drops)
    assert drops[0] < drops[-1]
