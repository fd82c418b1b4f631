"""Say what resistance a copper cable may have, and what voltage it loses on the way."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from diag.calculators.arguments import require_between, require_not_negative, require_positive

MAXIMUM_OHM_PER_KM: Final[Mapping[int, Mapping[float, float]]] = {
    2: {
        0.5: 36.0, 0.75: 24.5, 1.0: 18.1, 1.5: 12.1, 2.5: 7.41, 4.0: 4.61, 6.0: 3.08, 10.0: 1.83, 16.0: 1.15,
    },
    5: {
        0.5: 39.0, 0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95, 6.0: 3.30, 10.0: 1.91, 16.0: 1.21,
    },
}  # fmt: skip
"""IEC 60228, maximum resistance of plain copper at 20 degrees Celsius by class and area in mm2."""

COPPER_ZERO_C: Final = 234.5
"""Degrees below zero at which the straight line of copper's resistance would reach nothing (IEC 60034-1)."""


def maximum_resistance_ohm_per_km(area_mm2: float, conductor_class: int = 2) -> float:
    """Return the most a sound plain copper core may have at 20 degrees, in ohm per km.

    A good core measures at or below it. Class 1 (solid) has the values of class 2 (stranded) in this range;
    class 5 is flexible. Source: IEC 60228. Raises ValueError for an area or class outside the table.
    """
    table = MAXIMUM_OHM_PER_KM.get(2 if conductor_class == 1 else conductor_class)
    if table is None:
        raise ValueError(f"conductor_class is {conductor_class}; expected 1, 2 or 5")
    if area_mm2 not in table:
        allowed = ", ".join(f"{area:g}" for area in table)
        raise ValueError(f"area_mm2 is {area_mm2:g}; expected one of {allowed}")
    return table[area_mm2]


def known_areas_mm2(conductor_class: int = 2) -> tuple[float, ...]:
    """Return the areas there is a resistance for, smallest first."""
    maximum_resistance_ohm_per_km(1.0, conductor_class)
    return tuple(sorted(MAXIMUM_OHM_PER_KM[2 if conductor_class == 1 else conductor_class]))


def temperature_factor(temperature_c: float) -> float:
    """Return the resistance of copper at a temperature as a multiple of that at 20 degrees.

    Source: (234.5 + T) / (234.5 + 20), the form of IEC 60034-1, equal to a coefficient of 0.00393 per kelvin.
    Raises ValueError outside -60 to 250 degrees Celsius.
    """
    require_between("temperature_c", temperature_c, -60.0, 250.0)
    return (COPPER_ZERO_C + temperature_c) / (COPPER_ZERO_C + 20.0)


def core_resistance_ohm(
    length_m: float, area_mm2: float, conductor_class: int = 2, temperature_c: float = 20.0
) -> float:
    """Return the most one core of a cable of this length may have, in ohm."""
    require_not_negative("length_m", length_m)
    per_km = maximum_resistance_ohm_per_km(area_mm2, conductor_class)
    return per_km * length_m / 1000.0 * temperature_factor(temperature_c)


def loop_resistance_ohm(
    length_m: float, area_mm2: float, conductor_class: int = 2, temperature_c: float = 20.0
) -> float:
    """Return the most there-and-back resistance of a two-core cable, in ohm; length is one way."""
    return 2.0 * core_resistance_ohm(length_m, area_mm2, conductor_class, temperature_c)


def voltage_drop_v(
    current_a: float,
    length_m: float,
    area_mm2: float,
    conductor_class: int = 2,
    temperature_c: float = 20.0,
) -> float:
    """Return the volts lost along a two-core cable that carries this current to its far end."""
    require_not_negative("current_a", current_a)
    return current_a * loop_resistance_ohm(length_m, area_mm2, conductor_class, temperature_c)


def longest_run_m(
    current_a: float,
    allowed_drop_v: float,
    area_mm2: float,
    conductor_class: int = 2,
    temperature_c: float = 20.0,
) -> float:
    """Return the longest one-way length, in metres, that keeps the drop within the allowed volts."""
    require_positive("current_a", current_a)
    require_not_negative("allowed_drop_v", allowed_drop_v)
    return allowed_drop_v / voltage_drop_v(current_a, 1.0, area_mm2, conductor_class, temperature_c)


def smallest_area_mm2(
    current_a: float,
    length_m: float,
    allowed_drop_v: float,
    conductor_class: int = 2,
    temperature_c: float = 20.0,
) -> float | None:
    """Return the smallest area of the table that keeps the drop within the allowed volts, or None."""
    require_not_negative("allowed_drop_v", allowed_drop_v)
    areas = known_areas_mm2(conductor_class)
    drops = (voltage_drop_v(current_a, length_m, area, conductor_class, temperature_c) for area in areas)
    return next((area for area, drop in zip(areas, drops, strict=True) if drop <= allowed_drop_v), None)
