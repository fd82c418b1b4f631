"""Who is there, what they have with them, and so which checks they can make and what fetching the rest costs."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from knowledge.entries import Check, Competence

COVERS_AND_HEIGHTS = frozenset(
    {
        "battery",
        "electric-shock",
        "falling-sash",
        "fragile-roof",
        "height",
        "insulation-test",
        "life-safety",
        "live-test",
        "remote-change",
        "rotating-fan",
        "stored-energy",
        "weather",
    }
)
"""Hazards that no lay person is sent to meet on the word of somebody far away: no covers opened, nothing climbed."""
OUT_IN_THE_OPEN = frozenset({"fragile-roof", "weather"})
"""Hazards of places where nobody works in the dark."""
FOR_TWO = frozenset({"falling-sash", "live-test"})
"""Hazards whose caution asks for a second person."""
IN_THE_POCKET = frozenset(
    {
        "drawing",
        "hand tools",
        "multimeter",
        "screwdriver",
        "stopwatch",
        "torch",
        "two-pole tester",
        "tape measure",
    }
)
"""Tools that a technician has with them anyway; common practice, no source."""
FETCH_MINUTES = 6.0
"""To fetch any other tool from the vehicle once; judgement."""


@dataclass(frozen=True, slots=True)
class Crew:
    """Who can act: their competences, whether they only talk with a lay person there, and how things are today."""

    competences: frozenset[Competence] = frozenset({"ordinary", "instructed", "skilled", "fire"})
    remote: bool = False
    is_dark: bool = False
    without: frozenset[str] = frozenset()
    """Tools that cannot be had today."""

    alone: bool = False
    """Whether nobody else is there to stand by."""

    def can_make(self, check: Check) -> bool:
        """Return whether the crew may make the check here and now."""
        if self.remote:
            return is_for_anybody(check)
        hazards = set(check.hazards)
        if (self.is_dark and OUT_IN_THE_OPEN & hazards) or (self.alone and FOR_TWO & hazards):
            return False
        return check.competence in self.competences and not self.without & set(check.tools)

    def can_mend(self, competence: Competence) -> bool:
        """Return whether the crew, or whoever is sent for it, may make a repair that asks for this competence."""
        return competence in self.competences


def is_for_anybody(check: Check) -> bool:
    """Return whether a lay person may make the check, guided by telephone."""
    return check.competence == "ordinary" and not COVERS_AND_HEIGHTS & set(check.hazards)


def fetch_minutes(check: Check, at_hand: Collection[str] = ()) -> float:
    """Return what fetching the check's tools costs; those used before are at hand."""
    missing = [it for it in check.tools if it not in IN_THE_POCKET and it not in at_hand]
    return FETCH_MINUTES * len(missing)
