"""Minutes on foot between the places of a site."""

from __future__ import annotations

import heapq
from collections.abc import Mapping
from functools import cache

from diag.scope import is_stand_in
from diag.topology import Topology
from knowledge.entries import Check

TAKEN_MINUTES = 2.0
"""What is taken for a walk nobody described."""


class Walks:
    """Where checks are made and how far apart those places are."""

    def __init__(self, topology: Topology) -> None:
        self.topology = topology
        self.minutes_from = cache(self._minutes_from)

    def place_of(self, check: Check, part: str, controller: str) -> str | None:
        """Return the place where somebody stands for the check; None when it does not matter or nobody knows."""
        if check.stand == "anywhere":
            return None
        where = controller if check.stand == "controller" else part
        return self.place_of_part(where)

    def place_of_part(self, part: str) -> str | None:
        """Return the place of a part, or of what it is fitted to; None when it is not described."""
        return None if is_stand_in(part) else self._place(part)

    def minutes(self, start: str | None, end: str | None) -> float:
        """Return the minutes from one place to another; unknown walks take a fixed time."""
        if end is None or start == end:
            return 0.0
        if start is None:
            return TAKEN_MINUTES
        return self.minutes_from(start).get(end, TAKEN_MINUTES)

    def _place(self, part: str) -> str | None:
        described = self.topology.parts.get(part)
        place: str | None = getattr(described, "place", None)
        if place:
            return place
        near = getattr(described, "opening", None) or getattr(described, "to", None)
        near = near or getattr(described, "controller", None)
        return self._place(near) if near and near != part else None

    def _minutes_from(self, start: str) -> Mapping[str, float]:
        reached: dict[str, float] = {}
        queue = [(0.0, start)]
        while queue:
            minutes, place = heapq.heappop(queue)
            if place in reached:
                continue
            reached[place] = minutes
            for other, step in self._steps(place).items():
                heapq.heappush(queue, (minutes + step, other))
        return reached

    def _steps(self, place: str) -> dict[str, float]:
        places = self.topology.site.places
        steps = {other: it.walk_minutes[place] for other, it in places.items() if place in it.walk_minutes}
        return steps | (dict(places[place].walk_minutes) if place in places else {})
