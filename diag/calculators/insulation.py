"""Say what insulation and continuity tests must show."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from diag.calculators.arguments import require_not_negative, require_positive
from diag.calculators.conductors import core_resistance_ohm

Finding = Literal["sound", "below the limit", "a plain fault"]


@dataclass(frozen=True, slots=True)
class InsulationTest:
    """Direct volts to test with and the least megohms to find."""

    test_v: float
    least_mohm: float


def insulation_test(nominal_v: float, is_extra_low: bool = False) -> InsulationTest:
    """Return how to test a circuit of this nominal voltage (IEC 60364-6).

    SELV and PELV to 50 V: 250 V, 0.5 megohm; to 500 V: 500 V, 1 megohm; above: 1000 V, 1 megohm. Disconnect
    electronics first and discharge afterwards. Earlier editions asked for less; local codes decide.
    """
    require_positive("nominal_v", nominal_v)
    if is_extra_low and nominal_v <= 50.0:
        return InsulationTest(250.0, 0.5)
    if nominal_v <= 500.0:
        return InsulationTest(500.0, 1.0)
    return InsulationTest(1000.0, 1.0)


def insulation_finding(measured_mohm: float, test: InsulationTest) -> Finding:
    """Return what a measured insulation resistance means.

    Under a hundredth of the limit something touches or is wet: common practice, no source.
    """
    require_not_negative("measured_mohm", measured_mohm)
    if measured_mohm >= test.least_mohm:
        return "sound"
    return "below the limit" if measured_mohm >= test.least_mohm / 100.0 else "a plain fault"


def most_continuity_ohm(length_m: float, area_mm2: float, conductor_class: int = 2, joints_ohm: float = 0.0) -> float:
    """Return the most ohms a sound core of this length may show end to end, its joints included."""
    core = core_resistance_ohm(length_m, area_mm2, conductor_class)
    return core + require_not_negative("joints_ohm", joints_ohm)


def leak_to_earth_ma(voltage_v: float, insulation_mohm: float) -> float:
    """Return the milliamperes that an insulation resistance lets through at a voltage."""
    return require_not_negative("voltage_v", voltage_v) / require_positive("insulation_mohm", insulation_mohm) / 1000.0
