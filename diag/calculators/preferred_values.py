"""Know the preferred resistor values, their tolerance letters and how they are written on the part."""

from __future__ import annotations

import re
from collections.abc import Mapping
from math import floor, log10
from typing import Final

from diag.calculators.arguments import require_positive

TWO_DIGIT_SERIES: Final[Mapping[int, tuple[int, ...]]] = {
    3: (10, 22, 47),
    6: (10, 15, 22, 33, 47, 68),
    12: (10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82),
    24: (10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91),
}
"""IEC 60063, by values in a decade; the finer series are computed."""

TOLERANCE_LETTERS: Final[Mapping[str, float]] = {
    "B": 0.001,
    "C": 0.0025,
    "D": 0.005,
    "F": 0.01,
    "G": 0.02,
    "J": 0.05,
    "K": 0.10,
    "M": 0.20,
}
"""IEC 60062, as shares."""

MARKING: Final = re.compile(r"(?P<whole>\d*)(?P<letter>[RKMG])(?P<part>\d*)(?P<tolerance>[BCDFGJKM])?")
MULTIPLIERS: Final[Mapping[str, float]] = {"R": 1.0, "K": 1e3, "M": 1e6, "G": 1e9}


def series_values(series: int) -> tuple[float, ...]:
    """Return the values of one decade from 1 up to 10, for series 3, 6, 12, 24, 48, 96 or 192 (IEC 60063)."""
    if series in TWO_DIGIT_SERIES:
        return tuple(value / 10.0 for value in TWO_DIGIT_SERIES[series])
    if series not in (48, 96, 192):
        raise ValueError(f"series is {series}; expected 3, 6, 12, 24, 48, 96 or 192")
    # 9.20 is in the standard's table where rounding gives 9.19
    rounded = (round(10 ** (place / series), 2) for place in range(series))
    return tuple(9.2 if value == 9.19 else value for value in rounded)


def values_around(resistance_ohm: float, series: int = 24) -> tuple[float, ...]:
    """Return the preferred values of the decade a resistance is in, with the next one above."""
    decade = 10.0 ** floor(log10(require_positive("resistance_ohm", resistance_ohm)))
    below = series_values(series)[-1] / 10.0
    return tuple(float(f"{value * decade:.4g}") for value in (below, *series_values(series), 10.0))


def nearest_value_ohm(resistance_ohm: float, series: int = 24) -> float:
    """Return the preferred value nearest to a resistance; of two as near, the smaller."""
    return min(values_around(resistance_ohm, series), key=lambda value: (abs(value - resistance_ohm), value))


def value_at_or_above_ohm(resistance_ohm: float, series: int = 24) -> float:
    """Return the smallest preferred value that is not below a resistance."""
    return next(value for value in values_around(resistance_ohm, series) if value >= resistance_ohm * (1 - 1e-12))


def is_preferred(resistance_ohm: float, series: int = 24) -> bool:
    """Tell whether a resistance is one of the series."""
    return abs(nearest_value_ohm(resistance_ohm, series) / resistance_ohm - 1.0) < 1e-9


def read_marking(text: str) -> tuple[float, float | None]:
    """Return the ohms, and the tolerance as a share where a letter gives it, of a code such as 4K7 or 680RJ.

    Source: IEC 60062. Raises ValueError for anything else.
    """
    found = MARKING.fullmatch(text.strip().upper())
    if found is None or not (found["whole"] or found["part"]):
        raise ValueError(f"marking is {text!r}; expected a code such as 4K7, 680R or 10KJ")
    value = float(f"{found['whole'] or 0}.{found['part'] or 0}") * MULTIPLIERS[found["letter"]]
    return float(f"{value:.12g}"), TOLERANCE_LETTERS.get(found["tolerance"] or "")
