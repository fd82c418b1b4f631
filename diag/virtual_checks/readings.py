"""Show a value as a hand meter does, with its noise, and write it as somebody types it."""

from __future__ import annotations

from random import Random

METER_SHARE, METER_DIGITS = 0.01, 2.0
"""A hand meter errs by one per cent of the reading and two of its last digits; common practice, no source."""

LAST_DIGIT = {"V": 0.1, "A": 0.01, "mA": 0.1, "mV": 1.0, "s": 1.0, "min": 1.0, "C": 0.1, "ppm": 10.0, "m/s": 0.1}
"""What the last place of a shown value counts, by unit; common practice, no source."""
EXACT = frozenset({"min", "m/s", "count", "%", "mm"})
"""Units of what a display states and nobody measures: shown as it is."""
OVER_RANGE_OHM = 40e6


def metered(value: float, unit: str, dice: Random) -> float:
    """Return the value as a meter shows it; nothing stays nothing."""
    if unit in EXACT or value == 0:
        return value
    digit = ohm_digit(value) if unit in ("ohm", "Mohm") else LAST_DIGIT.get(unit, 0.01)
    shown = value * (1.0 + dice.uniform(-METER_SHARE, METER_SHARE)) + digit * dice.uniform(-METER_DIGITS, METER_DIGITS)
    return max(0.0, shown) if unit in ("ohm", "Mohm", "s") else shown


def ohm_digit(value: float) -> float:
    """Return the last place of a resistance range: four digits, never finer than 0.01 ohm on the lowest."""
    for top in (40.0, 400.0, 4e3, 40e3, 400e3, 4e6):
        if abs(value) < top:
            return top / 4000.0
    return 10e3


def written(value: float, unit: str) -> str:
    """Return the reading as it is read out: `23.4 V`, `0.35 A`, `10.0 kohm`, `OL`."""
    if unit == "ohm":
        return _resistance(value)
    if unit == "count":
        return f"{value:.0f}"
    digit = LAST_DIGIT.get(unit, 0.01)
    places = 0 if digit >= 1 else 1 if digit >= 0.1 else 2
    whole = f"{value:.{places}f}"
    return f"{whole.removeprefix('-') if float(whole) == 0 else whole} {unit}"


def _resistance(value: float) -> str:
    if value >= OVER_RANGE_OHM:
        return "OL"
    for size, name in ((1e6, "Mohm"), (1e3, "kohm")):
        if value >= size:
            return f"{value / size:.3g} {name}"
    return f"{value:.2f} ohm" if value < 100 else f"{value:.0f} ohm"
