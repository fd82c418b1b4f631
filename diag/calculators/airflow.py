"""Say how much air openings pass by warmth and wind, and whether that is enough for a room."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Final

from diag.calculators.arguments import require_between, require_not_negative, require_positive

GRAVITY_M_S2: Final = 9.81
AIR_KG_M3: Final = 1.2
AIR_J_KG_K: Final = 1005.0
ZERO_C_IN_KELVIN: Final = 273.15
SHARP_EDGED: Final = 0.65
"""Discharge coefficient of a sharp-edged opening with flow one way."""


@dataclass(frozen=True, slots=True)
class Enough:
    """Air an opening passes, air a room needs, in m3/s, and the share of the need that is met."""

    passes_m3_s: float
    needs_m3_s: float

    @property
    def share(self) -> float:
        """The share of the need that is met; infinite where nothing is needed."""
        return self.passes_m3_s / self.needs_m3_s if self.needs_m3_s > 0 else float("inf")

    @property
    def is_enough(self) -> bool:
        """Whether the opening meets the need."""
        return self.passes_m3_s >= self.needs_m3_s


def hinged_free_area_m2(width_m: float, height_m: float, gap_m: float) -> float:
    """Return the area air can pass at a sash hinged along its width and open by a gap at its far edge.

    The gap along the width and the two triangles at the sides, never more than the frame: common practice,
    no source.
    """
    require_positive("width_m", width_m)
    require_positive("height_m", height_m)
    require_not_negative("gap_m", gap_m)
    return min(width_m * height_m, gap_m * width_m + gap_m * height_m)


def area_in_series_m2(*areas_m2: float) -> float:
    """Return the one opening that resists as much as several one after the other: 1/A^2 adds (CIBSE AM10)."""
    if not areas_m2:
        raise ValueError("areas_m2 is empty; expected at least one area")
    for area in areas_m2:
        require_not_negative("areas_m2", area)
    return 0.0 if min(areas_m2) == 0 else sum(area**-2 for area in areas_m2) ** -0.5


def stack_flow_m3_s(
    area_m2: float, height_m: float, inside_c: float, outside_c: float, discharge: float = SHARP_EDGED
) -> float:
    """Return the air a warm column drives: Cd A sqrt(2 g H (Ti - To) / Ti), below zero when warmer outside.

    H is from the middle of the opening to the neutral level, temperatures in kelvin inside the root. The
    form of the ASHRAE Handbook of Fundamentals, chapter on ventilation and infiltration. Downward flow has
    the outdoor temperature below the line.
    """
    require_not_negative("area_m2", area_m2)
    require_not_negative("height_m", height_m)
    require_between("discharge", discharge, 0.0, 1.0)
    require_between("inside_c", inside_c, -40.0, 200.0)
    require_between("outside_c", outside_c, -60.0, 60.0)
    warmer_kelvin = max(inside_c, outside_c) + ZERO_C_IN_KELVIN
    flow = discharge * area_m2 * sqrt(2.0 * GRAVITY_M_S2 * height_m * abs(inside_c - outside_c) / warmer_kelvin)
    return flow if inside_c >= outside_c else -flow


def two_way_discharge(inside_c: float, outside_c: float) -> float:
    """Return the coefficient for two-way flow through one opening: 0.40 + 0.0045 dT (ASHRAE Fundamentals)."""
    return 0.40 + 0.0045 * abs(inside_c - outside_c)


def wind_flow_m3_s(area_m2: float, wind_m_s: float, effectiveness: float = 0.55) -> float:
    """Return the air that wind drives through an opening: Cv A U.

    Cv is 0.5 to 0.6 for wind square to the wall (ASHRAE Fundamentals), 0.25 to 0.35 for wind across it
    (from memory).
    """
    require_not_negative("area_m2", area_m2)
    require_not_negative("wind_m_s", wind_m_s)
    return require_between("effectiveness", effectiveness, 0.0, 1.0) * area_m2 * wind_m_s


def together_m3_s(*flows_m3_s: float) -> float:
    """Return flows by warmth and by wind acting at once: the root of their squares (ASHRAE Fundamentals)."""
    return sqrt(sum(flow**2 for flow in flows_m3_s))


def single_sided_flow_m3_h(
    area_m2: float, wind_m_s: float, height_m: float, inside_c: float, outside_c: float
) -> float:
    """Return the air in m3 per hour through windows of a room open on one side only (EN 16798-7).

    3600 (A/2) sqrt(max(0.001 u^2, 0.0035 h dT)), with the height of the opening and equal densities.
    """
    require_not_negative("area_m2", area_m2)
    require_not_negative("wind_m_s", wind_m_s)
    require_not_negative("height_m", height_m)
    driving = max(0.001 * wind_m_s**2, 0.0035 * height_m * abs(inside_c - outside_c))
    return 3600.0 * area_m2 / 2.0 * sqrt(driving)


def flow_for_heat_m3_s(gains_w: float, rise_k: float) -> float:
    """Return the outdoor air that carries heat gains away at a given rise above the outdoor temperature."""
    return require_not_negative("gains_w", gains_w) / (AIR_KG_M3 * AIR_J_KG_K * require_positive("rise_k", rise_k))


def rise_for_heat_k(gains_w: float, flow_m3_s: float) -> float:
    """Return how far a room settles above the outdoor temperature with these gains and this much air."""
    return require_not_negative("gains_w", gains_w) / (
        AIR_KG_M3 * AIR_J_KG_K * require_positive("flow_m3_s", flow_m3_s)
    )


def flow_for_people_m3_s(people: float, above_outdoor_ppm: float, litres_each_h: float = 20.0) -> float:
    """Return the outdoor air that holds carbon dioxide so many ppm above outdoors, by its steady balance."""
    made_m3_s = require_not_negative("people", people) * require_positive("litres_each_h", litres_each_h) / 3.6e6
    return made_m3_s / (require_positive("above_outdoor_ppm", above_outdoor_ppm) * 1e-6)


def carbon_dioxide_above_outdoor_ppm(people: float, flow_m3_s: float, litres_each_h: float = 20.0) -> float:
    """Return how far carbon dioxide settles above outdoors, in ppm, with this much outdoor air."""
    made_m3_s = require_not_negative("people", people) * require_positive("litres_each_h", litres_each_h) / 3.6e6
    return made_m3_s / require_positive("flow_m3_s", flow_m3_s) * 1e6


def opening_verdict(passes_m3_s: float, needs_m3_s: float) -> Enough:
    """Return whether an opening is enough at all; when not, no control can keep the room cool or fresh."""
    return Enough(require_not_negative("passes_m3_s", passes_m3_s), require_not_negative("needs_m3_s", needs_m3_s))
