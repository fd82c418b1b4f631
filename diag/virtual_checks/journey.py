"""What a step costs: minutes for the work, the walk to it, and the climbs on the way."""

from __future__ import annotations

from dataclasses import dataclass

from diag.reasoner import PreparedSite, Reasoner

ANSWER_MINUTES = 1.0
"""To read a check, decide, and write down what it showed; judgement."""
PROOF_MINUTES = 5.0
"""To run the proving movement and watch it; judgement."""
CLIMBING = frozenset({"ladder", "platform", "roof", "steps"})


@dataclass(frozen=True, slots=True)
class Cost:
    """Minutes of a step, those of them on foot, where it leaves the person, and the climbs it took."""

    minutes: float
    walk_minutes: float = 0.0
    place: str | None = None
    climbs: int = 0


def check_cost(reasoner: Reasoner, prepared: PreparedSite, check: str, part: str, place: str | None) -> Cost:
    """Return what a check costs somebody who stands at a place."""
    entry = reasoner.knowledge.checks[check]
    controller = prepared.scope(()).controller_near(part)
    where = prepared.walks.place_of(entry, part, controller)
    return _there(prepared, entry.minutes + ANSWER_MINUTES, place, where)


def repair_cost(reasoner: Reasoner, prepared: PreparedSite, cause: str, part: str, place: str | None) -> Cost:
    """Return what a repair and its proof cost somebody who stands at a place."""
    minutes = reasoner.knowledge.causes[cause].remedy_minutes + PROOF_MINUTES
    return _there(prepared, minutes, place, prepared.walks.place_of_part(part))


def _there(prepared: PreparedSite, minutes: float, place: str | None, where: str | None) -> Cost:
    if where is None or where == place:
        return Cost(minutes, 0.0, place)
    walk = prepared.walks.minutes(place, where)
    described = prepared.site.places.get(where)
    return Cost(minutes + walk, walk, where, int(bool(described and described.access in CLIMBING)))
