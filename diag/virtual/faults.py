"""Which faults a part of a site can have, and how they are put there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from diag.topology import Topology
from diag.virtual.faults_field import FIELD_FAULTS
from diag.virtual.faults_inputs import INPUT_FAULTS
from diag.virtual.faults_links import LINK_FAULTS
from diag.virtual.faults_settings import SETTING_FAULTS
from diag.virtual.faults_supply import SUPPLY_FAULTS
from diag.virtual.fitting import FITTING
from diag.virtual.spot import Faults, Spot

FAULTS: Faults = {**SUPPLY_FAULTS, **FIELD_FAULTS, **INPUT_FAULTS, **SETTING_FAULTS, **LINK_FAULTS}
"""Every fault that can be put into a site, by cause."""

COMES_AND_GOES = frozenset(
    {
        "core-open", "core-short", "loose-terminal", "data-core-open", "earth-leakage", "junction-box-wet",
        "induced-noise", "data-cable-too-long", "mains-lead-open", "power-unit-failed", "battery-disconnected",
        "controller-board-failed", "output-driver-failed", "output-stuck-on", "output-overcurrent-trip",
        "drive-electronics-failed", "drive-motor-failed", "drive-thermal-cut-out", "drive-reference-lost",
        "drive-overload-cut-out", "obstruction", "snow-or-wind-load", "lock-not-released", "seal-stuck",
        "damper-blade-stuck", "hinge-seized", "switch-contact-failed", "switch-contact-stuck", "switch-common-open",
        "input-wire-open", "input-wire-short", "sensor-failed", "wind-sensor-stuck", "detector-dirty",
        "rain-sensor-dirty", "link-cable-open", "link-termination-wrong", "link-address-duplicate",
        "link-gateway-down", "fan-interlock-open", "fan-motor-failed", "fan-drive-fault",
    }
)  # fmt: skip
"""Faults that can be there at times; settings, wrong wiring and wear that is visible do not come and go."""


@dataclass(frozen=True, slots=True)
class Fault:
    """A cause at a part; `severity` runs from 0 to 1, and an intermittent fault is there only part of the time."""

    cause: str
    part: str
    severity: float = 1.0
    share_of_time: float = 1.0


def inject(fault: Fault, spot: Spot) -> None:
    """Put a fault into the condition of its part; raise ValueError where it cannot sit."""
    kind, put = FAULTS[fault.cause]
    if fault.part not in spot.topology.of_kind(kind):
        raise ValueError(f"{fault.cause} sits at a {kind}; {fault.part} is none of this site")
    put(spot)


def places_for(topology: Topology, cause: str) -> tuple[str, ...]:
    """Return the parts of a site at which a cause can sit, which may be none."""
    kind, _ = FAULTS[cause]
    fits = FITTING.get(cause)
    parts = topology.of_kind(kind)
    return tuple(part for part in parts if fits(topology, part)) if fits else parts


def possible_faults(topology: Topology) -> Iterator[tuple[str, str]]:
    """Yield every cause with every part of the site at which it can sit."""
    for cause in FAULTS:
        for part in places_for(topology, cause):
            yield cause, part
