"""Turn the ohms of temperature sensors into degrees and back, and say what a wrong type would show."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log, sqrt
from typing import Final, Literal

from diag.calculators.arguments import require_between, require_not_negative, require_positive

PLATINUM_A: Final = 3.9083e-3
PLATINUM_B: Final = -5.775e-7
PLATINUM_C: Final = -4.183e-12
"""IEC 60751."""

ZERO_C_IN_KELVIN: Final = 273.15
WARM_C: Final = 25.0


@dataclass(frozen=True, slots=True)
class Platinum:
    """A platinum sensor by its resistance at 0 degrees: 100, 500 or 1000 ohm."""

    zero_ohm: float = 1000.0


@dataclass(frozen=True, slots=True)
class Thermistor:
    """A sensor whose resistance falls with warmth, by its ohms at 25 degrees and its B value in kelvin."""

    warm_ohm: float = 10_000.0
    b_kelvin: float = 3435.0


Sensor = Platinum | Thermistor


def resistance_ohm(sensor: Sensor, temperature_c: float) -> float:
    """Return the ohms of a sound sensor at a temperature, -200 to 850 (platinum) or -55 to 150 (thermistor).

    Platinum: R0 (1 + A t + B t^2 + C (t - 100) t^3), the last term below zero only (IEC 60751). Thermistor:
    R25 exp(B (1/T - 1/T25)) in kelvin.
    """
    if isinstance(sensor, Platinum):
        require_between("temperature_c", temperature_c, -200.0, 850.0)
        return require_positive("zero_ohm", sensor.zero_ohm) * platinum_ratio(temperature_c)
    require_between("temperature_c", temperature_c, -55.0, 150.0)
    warm, kelvin = WARM_C + ZERO_C_IN_KELVIN, temperature_c + ZERO_C_IN_KELVIN
    steepness = require_positive("b_kelvin", sensor.b_kelvin)
    return require_positive("warm_ohm", sensor.warm_ohm) * exp(steepness * (1.0 / kelvin - 1.0 / warm))


def platinum_ratio(temperature_c: float) -> float:
    """Return the resistance of platinum as a multiple of that at 0 degrees."""
    ratio = 1.0 + PLATINUM_A * temperature_c + PLATINUM_B * temperature_c**2
    if temperature_c < 0:
        ratio += PLATINUM_C * (temperature_c - 100.0) * temperature_c**3
    return ratio


def temperature_c(sensor: Sensor, measured_ohm: float) -> float | None:
    """Return the degrees at which a sound sensor has these ohms, or None where no temperature gives them."""
    require_not_negative("measured_ohm", measured_ohm)
    if isinstance(sensor, Platinum):
        return platinum_temperature_c(measured_ohm / require_positive("zero_ohm", sensor.zero_ohm))
    if measured_ohm == 0:
        return None
    warm = WARM_C + ZERO_C_IN_KELVIN
    inverse = 1.0 / warm + log(measured_ohm / sensor.warm_ohm) / sensor.b_kelvin
    found = 1.0 / inverse - ZERO_C_IN_KELVIN if inverse > 0 else None
    return found if found is not None and -55.0 <= found <= 150.0 else None


def platinum_temperature_c(ratio: float) -> float | None:
    """Return the degrees at which platinum has this multiple of its resistance at 0 degrees, or None."""
    if not platinum_ratio(-200.0) <= ratio <= platinum_ratio(850.0):
        return None
    # exact from zero up; below, a good start for the fourth-power term
    guess = (-PLATINUM_A + sqrt(PLATINUM_A**2 - 4.0 * PLATINUM_B * (1.0 - ratio))) / (2.0 * PLATINUM_B)
    if ratio >= 1.0:
        return guess
    for _ in range(20):
        slope = PLATINUM_A + 2.0 * PLATINUM_B * guess + PLATINUM_C * (4.0 * guess**3 - 300.0 * guess**2)
        guess -= (platinum_ratio(guess) - ratio) / slope
    return guess


def tolerance_k(temperature_c: float, grade: Literal["A", "B"] = "B") -> float:
    """Return the kelvin a platinum sensor may be off: A 0.15 + 0.002 |t|, B 0.3 + 0.005 |t| (IEC 60751)."""
    grades = {"A": (0.15, 0.002), "B": (0.3, 0.005)}
    if grade not in grades:
        raise ValueError(f"grade is {grade}; expected A or B")
    fixed, rising = grades[grade]
    return fixed + rising * abs(temperature_c)


def lead_error_k(sensor: Sensor, lead_ohm: float, at_c: float = 20.0) -> float:
    """Return the kelvin a two-wire sensor reads wrong for the resistance of its leads, there and back."""
    true_ohm = resistance_ohm(sensor, at_c)
    shown = temperature_c(sensor, true_ohm + require_not_negative("lead_ohm", lead_ohm))
    if shown is None:
        raise ValueError(f"lead_ohm is {lead_ohm:g}; expected leads that leave a readable sensor")
    return shown - at_c


def shown_c(true_c: float, fitted: Sensor, set_as: Sensor) -> float | None:
    """Return what an input set for one sensor shows when another is fitted, or None for off its scale."""
    return temperature_c(set_as, resistance_ohm(fitted, true_c))
