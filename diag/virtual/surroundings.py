"""Say what the weather, the rooms and the hour are around a virtual site."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

FAIR_DAY = datetime(2026, 5, 6, 13, 0)


@dataclass(slots=True)
class Surroundings:
    """Weather, rooms and hour; change them and let time pass to see what the site makes of it."""

    at: datetime = FAIR_DAY
    began: datetime = FAIR_DAY
    """When the visit began: what people tell of the past counts from here."""

    raining: bool = False
    wind_m_s: float = 2.0
    outdoor_c: float = 16.0
    room_c: float = 21.5
    co2_ppm: float = 700.0
    snow: bool = False
    smoke: bool = False
    wet_lately: bool = False
    """It rained within the last hours: damp boxes are still damp, a sensor without a heater is still wet."""

    def make_fair(self) -> None:
        """Return to a dry, calm day in May, with the time that has passed kept."""
        gone = self.at - self.began
        self.raining = self.snow = self.wet_lately = False
        self.wind_m_s, self.outdoor_c = 2.0, 16.0
        self.began = FAIR_DAY
        self.at = FAIR_DAY + gone

    def move_to(self, month: int) -> None:
        """Let the visit be in another month."""
        gone: timedelta = self.at - self.began
        self.began = self.began.replace(month=month)
        self.at = self.began + gone
