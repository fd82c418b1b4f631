"""What is asked of a drive, and what it did."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Stop = Literal[
    "running", "end", "limit", "cut-out", "trip", "run-time", "no-voltage", "no-data", "dead", "twist", "hum", "time"
]
SpeedClass = Literal["manual", "automatic", "smoke"]


@dataclass(frozen=True, slots=True)
class Wish:
    """What the controller asks of a drive: 1 to open, -1 to close, and how fast."""

    direction: int
    speed: SpeedClass = "manual"
    limit_mm: float | None = None


@dataclass(slots=True)
class DriveRun:
    """What one drive did: where it started and stopped, how long it moved, and what it saw on the way."""

    wish: int
    start_mm: float
    position_mm: float
    seconds: float = 0.0
    stop: Stop = "running"
    voltage_v: float = 0.0
    current_a: float = 0.0
    backed_off: bool = False
    noisy: bool = False
    past_end: bool = False

    @property
    def moved_mm(self) -> float:
        """Return the way made, positive for opening."""
        return self.position_mm - self.start_mm
