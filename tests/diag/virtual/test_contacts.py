"""What an input tells at its terminals and in the display, at rest and used."""

from __future__ import annotations

import pytest

from diag.topology import Topology
from diag.virtual.contacts import at_terminals, in_display
from diag.virtual.faults import Fault
from diag.virtual.fitted import Fitted
from diag.virtual.site import VirtualSite
from diag.virtual.surroundings import Surroundings
from tests.diag.virtual.sites import virtual

SOUND = [("medium", it) for it in ("sw-a", "ks", "th1", "co2", "rain", "wind", "sd1", "cp1")] + [("small", "th1")]


def shown(site: VirtualSite, part: str) -> tuple[str, str]:
    """Return what the terminals and the display tell."""
    world = (site.topology, site.fitted, site.around, part)
    return at_terminals(*world), in_display(*world)


@pytest.mark.parametrize(("name", "part"), SOUND)
def test_a_sound_input_follows(name: str, part: str) -> None:
    assert shown(virtual(name=name), part) == ("follows", "follows")


@pytest.mark.parametrize(
    ("cause", "part", "told"),
    [
        ("switch-common-open", "sw-a", "never-changes"),
        ("switch-contact-stuck", "sw-a", "always-active"),
        ("input-on-wrong-terminal", "sw-a", "never-changes"),
        ("rain-sensor-dirty", "rain", "always-active"),
        ("call-point-operated", "cp1", "always-active"),
        ("wind-sensor-stuck", "wind", "never-changes"),
        ("sensor-failed", "co2", "never-changes"),
        ("sensor-signal-mismatch", "th1", "never-changes"),
        ("key-switch-off", "ks", "always-active"),
    ],
)
def test_a_faulty_input_tells_so_at_its_terminals(cause: str, part: str, told: str) -> None:
    assert at_terminals(*_world(virtual(Fault(cause, part)), part)) == told


def test_a_controller_that_is_deaf_shows_nothing_though_the_terminals_follow() -> None:
    site = virtual(Fault("controller-board-failed", "c1", 0.2))
    assert shown(site, "sw-a") == ("follows", "never-changes")


def test_a_contact_set_the_wrong_way_round_shows_only_in_the_display() -> None:
    site = virtual(Fault("contact-type-wrong", "rain"))
    assert shown(site, "rain") == ("follows", "always-active")


def test_a_broken_core_of_a_closed_when_dry_contact_tells_rain() -> None:
    assert shown(virtual(Fault("input-wire-open", "rain")), "rain")[1] == "always-active"


def _world(site: VirtualSite, part: str) -> tuple[Topology, Fitted, Surroundings, str]:
    return site.topology, site.fitted, site.around, part
