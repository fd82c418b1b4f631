"""Say how long an opening takes to move, how far it gets in a given time, and whether that is soon enough."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from diag.calculators.arguments import require_between, require_not_negative, require_positive

SMOKE_OPEN_S: Final = 60.0
"""Longest time to the fire-open position of a smoke ventilator (EN 12101-2, from memory)."""


@dataclass(frozen=True, slots=True)
class Travel:
    """A drive's full stroke and speed, and the share of the stroke an opening limit leaves, 0 to 1."""

    stroke_mm: float
    speed_mm_s: float
    limit_share: float = 1.0


@dataclass(frozen=True, slots=True)
class SmokeVerdict:
    """Seconds to the smoke position, the seconds allowed, the speed it takes, and whether it is met."""

    takes_s: float
    allowed_s: float
    needed_speed_mm_s: float
    is_soon_enough: bool


def travel_time_s(distance_mm: float, speed_mm_s: float) -> float:
    """Return the seconds to move a distance."""
    return require_not_negative("distance_mm", distance_mm) / require_positive("speed_mm_s", speed_mm_s)


def full_travel_s(travel: Travel) -> float:
    """Return the seconds from closed to the furthest the limit lets it open."""
    return travel_time_s(limited_stroke_mm(travel), travel.speed_mm_s)


def limited_stroke_mm(travel: Travel) -> float:
    """Return how far it may open."""
    require_between("limit_share", travel.limit_share, 0.0, 1.0)
    return require_positive("stroke_mm", travel.stroke_mm) * travel.limit_share


def position_after_mm(travel: Travel, start_mm: float, seconds: float, is_opening: bool) -> float:
    """Return where it stands after moving for so long from a position, stopped by its ends."""
    require_not_negative("seconds", seconds)
    require_between("start_mm", start_mm, 0.0, travel.stroke_mm)
    moved = require_positive("speed_mm_s", travel.speed_mm_s) * seconds
    if not is_opening:
        return max(0.0, start_mm - moved)
    # an opening already beyond its limit stays where it is
    return max(start_mm, min(limited_stroke_mm(travel), start_mm + moved))


def reached_share(travel: Travel, run_time_s: float) -> float:
    """Return the share of the limited stroke a set run time reaches, at most 1; less means it stops short."""
    needed = full_travel_s(travel)
    return 1.0 if needed == 0 else min(1.0, require_not_negative("run_time_s", run_time_s) / needed)


def run_time_needed_s(travel: Travel, reserve_share: float = 0.1) -> float:
    """Return the run time to set: full travel and a reserve, a tenth by common practice, no source."""
    return full_travel_s(travel) * (1.0 + require_not_negative("reserve_share", reserve_share))


def smoke_verdict(
    smoke_position_mm: float, speed_mm_s: float, delay_s: float = 0.0, allowed_s: float = SMOKE_OPEN_S
) -> SmokeVerdict:
    """Return whether a smoke opening gets to its position in time, with any delay before it starts."""
    left = require_positive("allowed_s", allowed_s) - require_not_negative("delay_s", delay_s)
    takes = delay_s + travel_time_s(smoke_position_mm, speed_mm_s)
    needed = smoke_position_mm / left if left > 0 else float("inf")
    return SmokeVerdict(takes, allowed_s, needed, takes <= allowed_s)


def slower_by(expected_s: float, measured_s: float) -> float:
    """Return how much slower a movement is than expected, as a share: 0.25 is a quarter longer."""
    return require_positive("measured_s", measured_s) / require_positive("expected_s", expected_s) - 1.0


def speed_at_voltage_mm_s(rated_speed_mm_s: float, rated_v: float, voltage_v: float) -> float:
    """Return the speed of a plain brushed drive at another voltage, taken in proportion.

    Common practice, no source; a drive that regulates its own speed does not slow down like this.
    """
    require_positive("rated_speed_mm_s", rated_speed_mm_s)
    return rated_speed_mm_s * require_not_negative("voltage_v", voltage_v) / require_positive("rated_v", rated_v)
