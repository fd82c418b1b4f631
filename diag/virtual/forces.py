"""How hard an opening is to move at each place of its travel, and how fast a drive is meant to move it."""

from __future__ import annotations

import math

from diag.virtual.fitted import OpeningCondition
from diag.virtual.runs import SpeedClass

USUAL_FORCE = 0.45
"""Share of a drive's force that a sound opening takes; common practice, no source."""
SEAL_FORCE = 0.15
SEAL_SHARE = 0.12
"""Near closed the seal asks for more force."""
STROKE_MM, SPEED_MM_S = 300.0, 8.0
"""Taken where a drive does not say; common practice, no source."""


def rated_speed(manual: float | None, automatic: float | None, smoke: float | None, wanted: SpeedClass) -> float:
    """Return the speed for a class of command, in mm/s."""
    hand = manual or automatic or SPEED_MM_S
    if wanted == "automatic":
        return automatic or hand
    return (smoke or hand) if wanted == "smoke" else hand


def force_at(opening: OpeningCondition, share: float, direction: int) -> float:
    """Return the share of the drive's force an opening takes at a share of its travel."""
    if opening.blades_stuck:
        return math.inf
    closed = share < 1e-6
    if closed and direction > 0 and (opening.stuck_closed != "no" or opening.lock == "engaged"):
        return math.inf
    if direction == opening.blocked_way and opening.blocked_at is not None and abs(opening.blocked_at - share) < 1e-6:
        return math.inf
    near_closed = share < SEAL_SHARE - 1e-9
    force = USUAL_FORCE + opening.hinge_drag * 0.5 + (opening.frame_drag * 0.6 if near_closed else 0.0)
    force += opening.load * 0.5 * (1 if direction > 0 else 0.4)
    return force + (SEAL_FORCE if near_closed and direction < 0 else 0.0)
