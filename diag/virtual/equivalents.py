"""Which faults that are really there the repair of a named cause mends."""

from __future__ import annotations

from diag.virtual.faults import Fault
from diag.virtual.pairs import TOGETHER, are_near
from diag.virtual.site import VirtualSite

SHARED = frozenset({"lockout-active", "command-order-wrong"})
"""Faults of the whole site that show at every zone alike."""
HELD = frozenset({"higher-command-active", "link-priority-held"})
"""Two names for a value that somebody left standing on the building link."""
NO_MAINS = frozenset({"mains-absent", "battery-reserve-kept"})
"""Comfort kept back on battery shows only while the mains is off: who brings the mains back ends it."""


def mends(site: VirtualSite, cause: str, part: str) -> tuple[Fault, ...]:
    """Return the faults that the repair of a cause at a part would mend; none where it is not there."""
    left = [it for it in site.faults if it not in site.repaired]
    if cause in TOGETHER:
        return _both(site, left, cause, part)
    return tuple(it for it in left if _is_same(site, it, cause, part))[:1]


def is_right(site: VirtualSite, cause: str, part: str) -> bool:
    """Return whether a cause at a part is really there; one that means two faults asks for both."""
    return len(mends(site, cause, part)) >= (2 if cause in TOGETHER else 1)


def _both(site: VirtualSite, left: list[Fault], cause: str, part: str) -> tuple[Fault, ...]:
    first, second = TOGETHER[cause]
    near = [it for it in left if are_near(site.topology, it.part, part)]
    one = [it for it in near if it.cause in first]
    other = [it for it in near if it.cause in second]
    return (*one[:1], *other[:1])


def _is_same(site: VirtualSite, fault: Fault, cause: str, part: str) -> bool:
    if {fault.cause, cause} == HELD:
        return _holds_link(site)
    if {fault.cause, cause} == NO_MAINS and fault.part == part:
        return not site.fitted.controllers[part].isolator_on
    if fault.cause != cause:
        return False
    return fault.part == part or cause in SHARED or part in _partners(site, fault)


def _holds_link(site: VirtualSite) -> bool:
    return any(it.held_by == "link" for it in site.fitted.zones.values())


def _partners(site: VirtualSite, fault: Fault) -> set[str]:
    """Return the other ends of a fault that sits between two parts."""
    fitted, described = site.fitted, site.topology.site
    if fault.cause == "circuits-crossed":
        crossed = fitted.outputs[fault.part].crossed_with
        return {crossed} if crossed else set()
    if fault.cause == "zone-assignment-wrong":
        return {it for it, zone in fitted.zones.items() if zone.openings != tuple(described.zones[it].openings or ())}
    if fault.cause == "drive-address-duplicate":
        output = described.drives[fault.part].output
        address = fitted.drives[fault.part].address
        fed = [it for it in site.topology.consumers_of_output(output or "") if it in fitted.drives]
        return {it for it in fed if fitted.drives[it].address == address}
    return set()
