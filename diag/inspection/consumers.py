"""What hangs on the outputs of a site, read once: the drives and fans, and what an inspector asks of each."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from operator import attrgetter
from typing import NamedTuple

from diag.site import Site

MAKES_KEPT = 1024


class Load(NamedTuple):
    """What a drive or a fan is to its output; nobody describes an address, a start or a travel for a fan.

    `travel_s` is a full travel at the slowest speed given.
    """

    is_drive: bool
    running_current_a: float | None
    starting_current_a: float | None = None
    is_addressable: bool | None = None
    supply_voltage_v: float | None = None
    travel_s: float | None = None


class Consumer(NamedTuple):
    """A drive or a fan: where it hangs, what it moves, and what it is. Drives alike share their load."""

    output: str | None
    opening: str | None
    load: Load


_read_load = attrgetter(
    "running_current_a",
    "starting_current_a",
    "addressable",
    "supply_voltage_v",
    "stroke_mm",
    "manual_speed_mm_s",
    "automatic_speed_mm_s",
    "smoke_speed_mm_s",
    "full_travel_s",
)


def read_consumers(site: Site) -> Mapping[str, Consumer]:
    """Return the drives and fans of a site by id."""
    drives = {part: Consumer(it.output, it.opening, _load(_read_load(it))) for part, it in site.drives.items()}
    fans = {part: Consumer(it.output, None, Load(False, it.running_current_a)) for part, it in site.fans.items()}
    return drives | fans


@lru_cache(maxsize=MAKES_KEPT)
def _load(fields: tuple[float | None, ...]) -> Load:
    running, starting, is_addressable, volts, *speeds = fields
    known = None if is_addressable is None else bool(is_addressable)
    return Load(True, running, starting, known, volts, slowest_travel_s(*speeds))


def slowest_travel_s(
    stroke_mm: float | None,
    manual_mm_s: float | None,
    automatic_mm_s: float | None,
    smoke_mm_s: float | None,
    full_travel_s: float | None,
) -> float | None:
    """Return the seconds of a full travel at the slowest speed given, or as the description says, or None."""
    speeds = [speed for speed in (manual_mm_s, automatic_mm_s, smoke_mm_s) if speed]
    if stroke_mm and speeds:
        return stroke_mm / min(speeds)
    return full_travel_s
