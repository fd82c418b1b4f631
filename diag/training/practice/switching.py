"""Switch a virtual controller off as a precaution does, and say which precautions a step has no use for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager

from diag.virtual_checks.callout import CallOut
from diag.virtual_checks.unsafe import needs_battery, needs_power
from knowledge.entries import Check

FITS = {
    "crush": "clear-of-edges",
    "falling-sash": "secured-sash",
    "life-safety": "told-people",
    "live-test": "proved-tester",
    "remote-change": "told-people",
}
"""The precaution that fits a caution which the entry of a step names, whether or not it holds here and now."""

ALONG_WITH = {"proved-dead": "proved-tester", "isolated": "told-people"}
"""What goes well with a precaution: a proved tester proves cores dead, and people ask why nothing moves."""


def is_spoiled(check: Check, precautions: Sequence[str]) -> bool:
    """Return whether a check can show nothing once these precautions were taken: it needs what they switch off."""
    if "isolated" in precautions and needs_power(check):
        return True
    return "battery-off" in precautions and needs_battery(check)


@contextmanager
def switched_off(call: CallOut, part: str, precautions: Sequence[str]) -> Iterator[None]:
    """Keep the isolator off, the battery too where it is among the precautions, and put both back afterwards."""
    condition = call.site.fitted.controllers.get(call.prepared.scope(()).controller_near(part))
    if condition is None:
        yield
        return
    was = condition.isolator_on, condition.battery_linked
    condition.isolator_on = was[0] and "isolated" not in precautions
    condition.battery_linked = was[1] and "battery-off" not in precautions
    try:
        yield
    finally:
        condition.isolator_on, condition.battery_linked = was


def fitting(check: Check) -> tuple[str, ...]:
    """Return the cautions a check may be met with, besides what holds here: a tester is proved for any voltage."""
    return (*check.hazards, *(("live-test",) if check.id.startswith("volts-") else ()))


def needless(taken: Sequence[str], wanted: Sequence[str], cautions: Sequence[str]) -> tuple[str, ...]:
    """Return the precautions that answer no danger of a step, and fit neither a caution of its entry nor one wanted."""
    fits = {*wanted, *(FITS[it] for it in cautions if it in FITS)}
    fits |= {ALONG_WITH[it] for it in wanted if it in ALONG_WITH}
    return tuple(it for it in dict.fromkeys(taken) if it not in fits)
