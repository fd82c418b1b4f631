"""Short ways to make a call-out about faults that a test names."""

from __future__ import annotations

from functools import cache

from diag.reasoner import PreparedSite, Reasoner, prepare_site
from diag.virtual.faults import Fault
from diag.virtual.surroundings import FAIR_DAY
from diag.virtual_checks.callout import CallOut
from diag.virtual_checks.people import PERFECT, Person
from tests.diag.virtual.sites import site_named, virtual


@cache
def prepared(name: str) -> PreparedSite:
    """Return a site made ready for the day of every call-out."""
    return prepare_site(site_named(name), FAIR_DAY.date())


def call_about(
    reasoner: Reasoner, *faults: Fault, name: str = "medium", seed: int = 0, person: Person = PERFECT
) -> CallOut:
    """Return a call-out about these faults with nothing reported yet."""
    site = virtual(*faults, name=name, seed=seed)
    return CallOut(reasoner, prepared(name), site, (), frozenset(), site.around.at, seed, person)
