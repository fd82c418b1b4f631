"""Say how long a lead-acid battery lasts: by capacity, rate of discharge, temperature and age."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from typing import Final

from diag.calculators.arguments import require_between, require_not_negative, require_positive

CAPACITY_MULTIPLIERS: Final[tuple[tuple[float, float], ...]] = (
    (-3.9, 1.520),
    (4.4, 1.300),
    (10.0, 1.190),
    (15.6, 1.110),
    (25.0, 1.000),
    (32.2, 0.940),
)
"""Degrees Celsius and the multiplier on required capacity of IEEE 485 table 1 (from memory)."""

COLDEST_C, HOTTEST_C = -20.0, 50.0
REFERENCE_C = 20.0


@dataclass(frozen=True, slots=True)
class Battery:
    """A lead-acid set as one: rated capacity over the rated hours, age, and the temperature it lives at.

    `design_life_years` is that at 20 degrees; `exponent` is Peukert's, 1.05 to 1.15 for absorbed glass mat.
    """

    rated_ah: float
    age_years: float = 0.0
    temperature_c: float = 20.0
    rated_hours: float = 20.0
    exponent: float = 1.1
    design_life_years: float = 5.0


def discharge_hours(rated_ah: float, current_a: float, rated_hours: float = 20.0, exponent: float = 1.1) -> float:
    """Return the hours a fresh warm battery gives a steady current, by Peukert's law over its rated hours.

    t = H (C / (I H)) ** k. Below the rated current the rated capacity stands: the law would promise more
    than the battery holds.
    """
    require_positive("rated_ah", rated_ah)
    require_positive("current_a", current_a)
    require_positive("rated_hours", rated_hours)
    require_between("exponent", exponent, 1.0, 1.5)
    ratio = rated_ah / (current_a * rated_hours)
    return rated_hours * (ratio if ratio >= 1.0 else ratio**exponent)


def capacity_multiplier(temperature_c: float) -> float:
    """Return by how much the capacity must be larger at this temperature than at 25 degrees.

    Straight lines between the rows of IEEE 485 table 1 (from memory); colder than the table its published fit
    k = -2.8117 x^3 + 4.1916 x^2 - 2.4941 x + 1.405 with x in hundreds of degrees; hotter, no more credit.
    Raises ValueError outside -20 to 50 degrees Celsius.
    """
    require_between("temperature_c", temperature_c, COLDEST_C, HOTTEST_C)
    if temperature_c < CAPACITY_MULTIPLIERS[0][0]:
        x = temperature_c / 100.0
        return -2.8117 * x**3 + 4.1916 * x**2 - 2.4941 * x + 1.405
    after = bisect_right(CAPACITY_MULTIPLIERS, (temperature_c, float("inf")))
    if after == len(CAPACITY_MULTIPLIERS):
        return CAPACITY_MULTIPLIERS[-1][1]
    (low_c, low), (high_c, high) = CAPACITY_MULTIPLIERS[after - 1], CAPACITY_MULTIPLIERS[after]
    return low + (high - low) * (temperature_c - low_c) / (high_c - low_c)


def effective_age_years(age_years: float, temperature_c: float) -> float:
    """Return the age at 20 degrees that wears a battery as much; warmth above it doubles wear every 10 K.

    Life halves for each 8 to 10 K: common practice, no source; the kinder end is taken.
    """
    require_not_negative("age_years", age_years)
    require_between("temperature_c", temperature_c, COLDEST_C, HOTTEST_C)
    warmth = max(0.0, temperature_c - REFERENCE_C)
    return float(age_years * 2.0 ** (warmth / 10.0))


def share_left_by_age(age_years: float, temperature_c: float = 20.0, design_life_years: float = 5.0) -> float:
    """Return the share of its fresh capacity that a battery still has, from 1 down to 0.

    A battery is spent at 80 %, which it reaches at its design life (IEEE 1188, from memory). A straight line
    to there, and one three times as steep beyond, are common practice, no source. It is an expectation, not a
    measurement.
    """
    lives = effective_age_years(age_years, temperature_c) / require_positive("design_life_years", design_life_years)
    if lives <= 1.0:
        return 1.0 - 0.2 * lives
    return max(0.0, 0.8 - 0.6 * (lives - 1.0))


def expected_capacity_ah(battery: Battery) -> float:
    """Return the capacity over its rated hours that a battery can be expected to have now, in Ah."""
    fresh = require_positive("rated_ah", battery.rated_ah)
    left = share_left_by_age(battery.age_years, battery.temperature_c, battery.design_life_years)
    return fresh * left / max(1.0, capacity_multiplier(battery.temperature_c))


def standby_hours(battery: Battery, current_a: float) -> float:
    """Return the hours a full battery can be expected to carry a steady current; 0 when it is worn out."""
    capacity = expected_capacity_ah(battery)
    if capacity <= 0:
        return 0.0
    return discharge_hours(capacity, current_a, battery.rated_hours, battery.exponent)


def movements_left(
    battery: Battery,
    moving_a: float,
    seconds_each: float,
    standby_a: float = 0.0,
    standby_hours_first: float = 0.0,
) -> int:
    """Return how many movements of so many seconds are left after so many hours of waiting.

    Waiting and moving each take their share of the charge at their own rate; one opening is one movement.
    """
    require_positive("seconds_each", seconds_each)
    require_not_negative("standby_a", standby_a)
    require_not_negative("standby_hours_first", standby_hours_first)
    share = 1.0
    if standby_a > 0 and standby_hours_first > 0:
        hours = standby_hours(battery, standby_a)
        share -= standby_hours_first / hours if hours > 0 else 1.0
    moving_seconds = max(0.0, share) * standby_hours(battery, require_positive("moving_a", moving_a)) * 3600.0
    return int(moving_seconds / seconds_each + 1e-9)
