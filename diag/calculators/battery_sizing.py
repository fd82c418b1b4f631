"""Say what battery and charger an installation needs, and what its resting and charging volts mean."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from diag.calculators.arguments import require_between, require_not_negative, require_positive

RestState = Literal["deeply discharged", "empty", "part charged", "charged", "on charge"]


@dataclass(frozen=True, slots=True)
class ChargerVerdict:
    """The current needed to charge and carry the load, what the charger gives, and whether it is enough."""

    needed_a: float
    given_a: float
    is_enough: bool


def required_capacity_ah(
    standby_a: float, standby_hours: float, alarm_a: float, alarm_hours: float, margin: float = 1.20
) -> float:
    """Return the capacity for waiting and then alarm, times a margin: (Is ts + Ia ta) k.

    The form of NFPA 72; k is 1.20 in editions to 2019 and 1.25 in 2022 (10.6.10.1). Local codes decide.
    """
    require_not_negative("standby_a", standby_a)
    require_not_negative("standby_hours", standby_hours)
    require_not_negative("alarm_a", alarm_a)
    require_not_negative("alarm_hours", alarm_hours)
    require_between("margin", margin, 1.0, 3.0)
    return (standby_a * standby_hours + alarm_a * alarm_hours) * margin


def required_capacity_with_derating_ah(
    standby_a: float, standby_hours: float, alarm_a: float, alarm_hours: float = 0.5, derating: float = 1.75
) -> float:
    """Return the capacity by BS 5839-1: 1.25 (T1 I1 + D I2 T2), T2 half an hour, D 1.75 unless known."""
    require_between("derating", derating, 1.0, 3.0)
    return required_capacity_ah(standby_a, standby_hours, alarm_a * derating, alarm_hours, margin=1.25)


def in_series(voltage_v: float, capacity_ah: float, count: int) -> tuple[float, float]:
    """Return volts and Ah of equal batteries in series: the volts add, the capacity does not."""
    require_positive("count", count)
    return voltage_v * count, capacity_ah


def charger_verdict(
    charger_a: float,
    capacity_ah: float,
    standing_load_a: float = 0.0,
    hours: float = 24.0,
    share: float = 0.8,
    efficiency: float = 0.85,
) -> ChargerVerdict:
    """Return whether a charger brings an empty battery to a share of its capacity in time.

    80 % in 24 hours: DIN VDE 0833, and EN 54-4 5.3.1 (from memory). Of the charge put into lead-acid about
    85 % is kept: common practice, no source. The standing load is carried at the same time.
    """
    require_not_negative("charger_a", charger_a)
    require_between("share", share, 0.0, 1.0)
    require_between("efficiency", efficiency, 0.5, 1.0)
    stored = require_positive("capacity_ah", capacity_ah) * share
    needed = stored / require_positive("hours", hours) / efficiency
    needed += require_not_negative("standing_load_a", standing_load_a)
    return ChargerVerdict(needed, charger_a, charger_a >= needed)


def recharge_hours(
    charger_a: float,
    capacity_ah: float,
    standing_load_a: float = 0.0,
    share: float = 0.8,
    efficiency: float = 0.85,
) -> float | None:
    """Return the hours from empty to a share of the capacity, or None when the load takes all there is."""
    spare = require_not_negative("charger_a", charger_a) - require_not_negative("standing_load_a", standing_load_a)
    if spare <= 0:
        return None
    return (
        require_positive("capacity_ah", capacity_ah)
        * share
        / (spare * require_between("efficiency", efficiency, 0.5, 1.0))
    )


def float_window_v(temperature_c: float = 20.0, nominal_v: float = 24.0) -> tuple[float, float]:
    """Return the lowest and highest right float volts of a lead-acid set.

    27.0 to 27.6 V for 24 V at 20 to 25 degrees, 36 mV lower for each kelvin above and higher below: common
    practice, no source. The battery's own label comes first.
    """
    require_between("temperature_c", temperature_c, -20.0, 50.0)
    away = min(0.0, temperature_c - 20.0) + max(0.0, temperature_c - 25.0)
    sets = require_positive("nominal_v", nominal_v) / 24.0
    return (27.0 - 0.036 * away) * sets, (27.6 - 0.036 * away) * sets


def rest_state(voltage_v: float, nominal_v: float = 24.0) -> RestState:
    """Return what the volts of a lead-acid set at rest mean, charger off and no load for some hours.

    For 24 V: 25.2 V and up charged (about 25.6 full), under 24.0 empty, under 21.0 deeply discharged,
    above 26.4 still on charge: common practice, no source.
    """
    volts = require_not_negative("voltage_v", voltage_v) * 24.0 / require_positive("nominal_v", nominal_v)
    steps: tuple[tuple[float, RestState], ...] = (
        (21.0, "deeply discharged"),
        (24.0, "empty"),
        (25.2, "part charged"),
        (26.4, "charged"),
    )
    return next((state for below, state in steps if volts < below), "on charge")
