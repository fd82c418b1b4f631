"""Write values, parts and lists as a technician would say them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import inf

from diag.facts import Situation
from diag.wording import name_part


def volts(value: float) -> str:
    """Return volts with one decimal below 100 V and none above."""
    return f"{value:.1f} V" if abs(value) < 100 else f"{value:.0f} V"


def amperes(value: float) -> str:
    """Return amperes with two digits."""
    return f"{value:.1f} A" if value >= 1 else f"{value:.2g} A"


def ohms(value: float) -> str:
    """Return ohms with three digits, in kilohm from 1000 on."""
    if value == inf:
        return "open"
    if value >= 1_000_000:
        return f"{value / 1_000_000:.3g} Mohm"
    if value >= 1000:
        return f"{value / 1000:.3g} kilohm"
    return f"{value:.3g} ohm" if value >= 1 else f"{value:.2f} ohm"


def sensor_ohms(value: float) -> str:
    """Return the ohms of a temperature sensor, to the ohm below 10 kilohm, as one ohm counts there."""
    return f"{value:.0f} ohm" if value < 10_000 else ohms(value)


def sensed(value: float, unit: str) -> str:
    """Return a quantity of a sensor with its unit, or the bare number."""
    signs = {"C": "°C"}
    return f"{value:g} {signs.get(unit, unit)}".rstrip()


def named(situation: Situation, part: str) -> str:
    """Return the name of a part with its id."""
    return name_part(situation.scope, part)


def listed(items: Iterable[str], last: str = "and") -> str:
    """Return items as `a, b and c`."""
    found = list(items)
    return f" {last} ".join([", ".join(found[:-1]), found[-1]]) if len(found) > 1 else "".join(found)


def taken(assumptions: Sequence[str]) -> str:
    """Return in brackets what had to be taken for a value, or nothing."""
    return f" (taken: {', '.join(assumptions)})" if assumptions else ""


def text_of(*sentences: str) -> str:
    """Return the sentences that are not empty, as one text."""
    return " ".join(f"{it.rstrip('.')}." for it in sentences if it)
