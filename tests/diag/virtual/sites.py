"""Sites for the virtual model: the demo sites, and a workshop with the parts that those do not have."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from diag.demo import load_demo
from diag.site import Site
from diag.site_file import load_site
from diag.topology import Topology, read_topology
from diag.virtual.faults import Fault, places_for
from diag.virtual.site import VirtualSite

WORKSHOP = Path(__file__).with_name("workshop.yaml")

NAMES = ("medium", "small", "workshop")


@cache
def site_named(name: str) -> Site:
    """Return one of the sites by name."""
    return load_site(WORKSHOP) if name == "workshop" else load_demo(name)


@cache
def topology_named(name: str) -> Topology:
    """Return the relations of one of the sites."""
    return read_topology(site_named(name))


def virtual(*faults: Fault, name: str = "medium", seed: int = 0) -> VirtualSite:
    """Return a site with faults in it."""
    return VirtualSite(site_named(name), faults, seed, topology_named(name))


def home_of(cause: str) -> str:
    """Return the first of the sites that can have the cause."""
    return next(name for name in NAMES if places_for(topology_named(name), cause))


def place_of(cause: str) -> str:
    """Return the first part that can have the cause on its home site."""
    return places_for(topology_named(home_of(cause)), cause)[0]
