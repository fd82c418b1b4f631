"""What hangs on the outputs of a site, read once: the drives and fans, and what an inspector asks of each."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from operator import attrgetter
from typing import Any, NamedTuple

from diag.site import Site

SPEEDS = ("stroke_mm", "manual_speed_mm_s", "automatic_speed_mm_s", "smoke_speed_mm_s", "full_travel_s")
MAKES_KEPT = 1024


class Consumer(NamedTuple):
    """A drive or a fan; nobody describes an opening, an address or a start for a fan.

    `travel_s` is a full travel at the slowest speed given.
    """

    is_drive: bool
    output: str | None
    running_current_a: float | None
    opening: str | None = None
    starting_current_a: float | None = None
    is_addressable: bool | None = None
    supply_voltage_v: float | None = None
    travel_s: float | None = None


_read_drive = attrgetter(
    "output", "running_current_a", "opening", "starting_current_a", "addressable", "supply_voltage_v"
)
_read_speeds = attrgetter(*SPEEDS)


def read_consumers(site: Site) -> Mapping[str, Consumer]:
    """Return the drives and fans of a site by id."""
    drives = {part: _drive(_read_drive(it), slowest_travel_s(*_read_speeds(it))) for part, it in site.drives.items()}
    return drives | {part: Consumer(False, it.output, it.running_current_a) for part, it in site.fans.items()}


def _drive(fields: tuple[Any, ...], travel_s: float | None) -> Consumer:
    return Consumer._make((True, *fields, travel_s))


@lru_cache(maxsize=MAKES_KEPT)
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
