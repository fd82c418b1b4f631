"""Limit how often one caller may ask; each node counts for itself, so n nodes let n times as much through."""

from __future__ import annotations

import time
from collections.abc import Mapping
from dataclasses import dataclass

from limits import RateLimitItemPerMinute
from limits.storage import MemoryStorage
from limits.strategies import MovingWindowRateLimiter

from api.access.errors import TooMany

NAME = "caller"
WINDOW_S = 60


@dataclass(frozen=True)
class Limit:
    """So many requests a minute for each caller."""

    a_minute: int
    _limiter: MovingWindowRateLimiter

    def take(self, caller: str) -> Mapping[str, str]:
        """Count one request and return the header fields that tell what is left; raise TooMany."""
        item = RateLimitItemPerMinute(self.a_minute)
        allowed = self._limiter.hit(item, caller)
        stats = self._limiter.get_window_stats(item, caller)
        wait_s = max(1, round(stats.reset_time - time.time()))
        if wait_s > WINDOW_S + 1:  # the clock was set back: what was counted lies in what is to come now
            self._limiter.storage.reset()
            return self.take(caller)
        if not allowed:
            raise TooMany(wait_s)
        return {
            "RateLimit-Policy": f'"{NAME}";q={self.a_minute};w=60',
            "RateLimit": f'"{NAME}";r={stats.remaining};t={wait_s}',
        }


def new_limit(a_minute: int) -> Limit:
    """Return a limit that starts counting now."""
    return Limit(a_minute, MovingWindowRateLimiter(MemoryStorage()))
