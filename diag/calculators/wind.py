"""Turn wind speed into Beaufort force and pressure."""

from __future__ import annotations

from bisect import bisect_right
from typing import Final

from diag.calculators.arguments import require_between, require_not_negative

LOWER_BOUNDS_M_S: Final = (0.3, 1.6, 3.4, 5.5, 8.0, 10.8, 13.9, 17.2, 20.8, 24.5, 28.5, 32.7)
"""The speed at which each force from 1 to 12 begins, at 10 m height over 10 minutes (WMO)."""

AIR_KG_M3: Final = 1.225


def beaufort_force(wind_m_s: float) -> int:
    """Return the force from 0 to 12; each runs from its bound up to, not including, the next (WMO).

    The scale is for ten-minute means at 10 m height; a control's sensor sees gusts, nearer the roof.
    """
    return bisect_right(LOWER_BOUNDS_M_S, require_not_negative("wind_m_s", wind_m_s))


def beaufort_bounds_m_s(force: int) -> tuple[float, float]:
    """Return the speed at which a force begins and the one at which the next begins, infinite for 12."""
    require_between("force", force, 0, 12)
    bounds = (0.0, *LOWER_BOUNDS_M_S, float("inf"))
    return bounds[force], bounds[force + 1]


def wind_pressure_pa(wind_m_s: float) -> float:
    """Return the pressure of wind brought to rest: half the density times speed squared."""
    return 0.5 * AIR_KG_M3 * require_not_negative("wind_m_s", wind_m_s) ** 2


def wind_force_n(wind_m_s: float, area_m2: float, coefficient: float = 1.0) -> float:
    """Return the push on a sash of this area, with a pressure coefficient that depends on where it sits."""
    require_between("coefficient", coefficient, -5.0, 5.0)
    return wind_pressure_pa(wind_m_s) * require_not_negative("area_m2", area_m2) * coefficient
