"""What a plan says to those who are there."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from api.plans import for_those_there
from diag.crew import Crew
from diag.likelihoods import SOMETHING_ELSE
from diag.next_step import Choice, Plan
from diag.reasoner import PreparedSite, Reasoner
from diag.reasoning import Reasoning, open_case
from diag.topology import SITE_PART
from diag.weighing import Weight
from tests.builders import case

MOTOR = "drive-motor-failed"
MEND = Plan(Choice("repair", MOTOR, "d1", 60.0), "Mend it.", ())
CALL = Plan(Choice("call", "", SITE_PART, 480.0), "Pass it on.", ())


def reasoning_for(reasoner: Reasoner, site: PreparedSite, crew: Crew) -> Reasoning:
    """Return a case of a dead drive with these people there."""
    return open_case(reasoner, site, replace(case("drive-dead@d1"), crew=crew))


def sure_of(reasoning: Reasoning, cause: str) -> Weight:
    """Return a posterior that is sure of a cause."""
    weights = np.array([float(it.cause == cause) for it in reasoning.hypotheses.open])
    return Weight(weights / weights.sum(), (), ())


def said(reasoner: Reasoner, site: PreparedSite, crew: Crew, planned: Plan, cause: str = MOTOR) -> str:
    """Return what the plan says to a crew that is sure of a cause."""
    reasoning = reasoning_for(reasoner, site, crew)
    return for_those_there(reasoner, reasoning, sure_of(reasoning, cause), planned).says


def test_who_is_alone_is_told_to_have_a_second_person_there_for_a_heavy_sash(
    reasoner: Reasoner, small: PreparedSite
) -> None:
    assert "falling-sash" in reasoner.knowledge.causes[MOTOR].cautions
    assert said(reasoner, small, Crew(), MEND) == "Mend it."
    assert said(reasoner, small, Crew(alone=True), MEND) == "Mend it. Have a second person there before you begin."


def test_where_nothing_is_left_for_a_lay_person_the_plan_says_whom_to_send(
    reasoner: Reasoner, small: PreparedSite
) -> None:
    told = said(reasoner, small, Crew(remote=True), CALL)

    assert said(reasoner, small, Crew(), CALL) == "Pass it on."
    assert told.startswith("Send somebody: ")
    assert "“The drive's motor has failed” at drive of the left window (d1)" in told
    assert told.endswith("mending that is for a skilled person.")


def test_where_nothing_fits_nobody_is_sent_for_a_repair(reasoner: Reasoner, small: PreparedSite) -> None:
    told = said(reasoner, small, Crew(remote=True), CALL, SOMETHING_ELSE)

    assert told.endswith("Nothing that is known fits well so far.")
