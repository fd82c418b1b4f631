"""Choose a call-out that can be learnt from: one that the planner finds in a fair number of steps."""

from __future__ import annotations

from diag.reasoner import PreparedSite, Reasoner
from diag.training.practice.planner import planners_way
from diag.training.practice.run import PracticeRequest
from diag.training.quiz import UnknownTopic
from diag.training.workshop import TOPICS

FEWEST_STEPS, MOST_STEPS = 2, 14
"""Fewer steps teach nothing, more are too much for one sitting: judgement."""

TURNS = 8


def choose_practice(
    reasoner: Reasoner, prepared: PreparedSite, seed: int, topics: tuple[str, ...] = (), language: str = "en"
) -> PracticeRequest:
    """Return the first draw of a seed that is fair, else the last one; raise UnknownTopic or NothingToNotice."""
    for topic in topics:
        if topic not in TOPICS:
            raise UnknownTopic(topic, TOPICS)
    request = PracticeRequest(seed, topics, language=language)
    for turn in range(TURNS):
        request = PracticeRequest(seed, topics, turn, language)
        planner = planners_way(reasoner, prepared, request)
        steps = sum(it.step.kind != "proof" for it in planner.taken)
        if planner.is_over and FEWEST_STEPS <= steps <= MOST_STEPS:
            break
    return request
