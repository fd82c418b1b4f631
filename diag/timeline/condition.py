"""One thing that may stand: a sensor's demand or a lockout, with its limit, dead band, delay and release."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from diag.timeline.plan import Threshold


@dataclass(slots=True)
class Condition:
    """Whether something stands now, and when that changes by itself.

    `stands` is None until anything is known of it. `due` is the moment its delay or its release ends.
    """

    threshold: Threshold
    is_caused: bool | None = None
    stands: bool | None = None
    since: datetime | None = None
    due: datetime | None = None

    def read(self, value: float, at: datetime) -> bool:
        """Take a reading; return whether `stands` changed. Inside the dead band nothing changes."""
        it = self.threshold
        if it.limit is None:
            return False
        if value >= it.limit if it.is_upper else value <= it.limit:
            return self.make(True, at)
        back = it.limit - it.dead_band if it.is_upper else it.limit + it.dead_band
        is_back = value <= back if it.is_upper else value >= back
        return is_back and self.make(False, at)

    def make(self, is_caused: bool, at: datetime) -> bool:
        """Say whether its cause is there; return whether `stands` changed at once."""
        if is_caused is self.is_caused:
            return False
        self.is_caused = is_caused
        if is_caused is self.stands:  # back before the delay or the release was over
            self.due = None
            return False
        wait = self.threshold.delay if is_caused else self.threshold.release
        if not wait or (not is_caused and self.stands is None):
            return self._turn(at)
        self.due = at + wait
        return False

    def pass_time(self, at: datetime) -> bool:
        """Let a delay or release that ends by now end; return whether `stands` changed."""
        return self.due is not None and self.due <= at and self._turn(at)

    def _turn(self, at: datetime) -> bool:
        self.due, self.stands, self.since = None, self.is_caused, at
        return True
