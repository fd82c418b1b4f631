"""The plan of a case: what to do next, why, and what else."""

from __future__ import annotations

import pytest

from diag.crew import Crew
from diag.next_step import Plan, plan, prospect_of
from diag.reasoner import PreparedSite, Reasoner
from diag.weighing import weigh
from tests.builders import case, reasoning_of


def plan_of(reasoner: Reasoner, site: PreparedSite, *symptoms: str, crew: Crew | None = None, **known: object) -> Plan:
    asked = case(*symptoms, **known)  # type: ignore[arg-type]
    reasoning = reasoning_of(reasoner, site, *symptoms, **known)
    return plan(reasoner, reasoning, weigh(reasoner, reasoning, asked.findings), crew=crew)


def test_a_case_that_is_open_in_many_ways_starts_with_a_check(reasoner: Reasoner, small: PreparedSite) -> None:
    step = plan_of(reasoner, small, "drive-dead@d1").step

    assert step.kind == "check"
    assert step.minutes > reasoner.knowledge.checks[step.name].minutes


def test_a_fuse_found_open_on_a_sound_line_is_mended_next(reasoner: Reasoner, small: PreparedSite) -> None:
    found = ["ohms-fuse-output@out1=open", "ohms-line@out1=normal", "try-neighbours@d1=neighbours-still"]

    it = plan_of(reasoner, small, "drive-dead@d1", "drive-dead@d2", findings=found)

    assert (it.step.kind, it.step.name) == ("repair", "output-fuse-blown")
    assert reasoner.knowledge.causes["output-fuse-blown"].name in it.says


def test_a_repair_that_did_not_help_is_not_planned_again(reasoner: Reasoner, small: PreparedSite) -> None:
    found = ["ohms-fuse-output@out1=open", "ohms-line@out1=normal", "try-neighbours@d1=neighbours-still"]

    it = plan_of(
        reasoner, small, "drive-dead@d1", "drive-dead@d2", findings=found, repaired=[("output-fuse-blown", "out1")]
    )

    assert ("repair", "output-fuse-blown", "out1") not in {(s.kind, s.name, s.part) for s in (it.step, *it.otherwise)}


def test_what_could_not_be_done_gives_way_to_the_first_alternative(reasoner: Reasoner, small: PreparedSite) -> None:
    first = plan_of(reasoner, small, "drive-dead@d1")
    after = plan_of(reasoner, small, "drive-dead@d1", findings=[f"{first.step.name}@{first.step.part}=cannot"])

    assert first.otherwise
    assert (after.step.name, after.step.part) != (first.step.name, first.step.part)


def test_a_lay_person_is_asked_only_what_lay_people_may_do(reasoner: Reasoner, medium: PreparedSite) -> None:
    crew = Crew(remote=True)

    it = plan_of(reasoner, medium, "drive-dead@d1", crew=crew)

    assert all(s.kind == "check" and crew.can_make(reasoner.knowledge.checks[s.name]) for s in (it.step, *it.otherwise))


def test_a_question_once_answered_is_not_asked_of_another_part(reasoner: Reasoner, medium: PreparedSite) -> None:
    it = plan_of(reasoner, medium, "site-dead", findings=["ask-one-or-all@za=several-zones"])

    assert "ask-one-or-all" not in {s.name for s in (it.step, *it.otherwise)}


def test_with_nothing_left_to_do_help_is_called(reasoner: Reasoner, small: PreparedSite) -> None:
    nobody = Crew(competences=frozenset())

    it = plan_of(reasoner, small, "drive-dead@d1", crew=nobody)

    assert it.step.kind == "call"
    assert "Pass the case on" in it.says


@pytest.mark.parametrize("symptom", ["zone-dead", "site-dead", "automatic-ignored"])
def test_the_same_case_gets_the_same_plan(reasoner: Reasoner, medium: PreparedSite, symptom: str) -> None:
    assert plan_of(reasoner, medium, symptom) == plan_of(reasoner, medium, symptom)


def test_the_helpdesk_sends_somebody_once_asking_tells_no_more(reasoner: Reasoner, small: PreparedSite) -> None:
    found = ["ohms-fuse-output@out1=open", "ohms-line@out1=normal", "try-neighbours@d1=neighbours-still"]

    it = plan_of(reasoner, small, "drive-dead@d1", "drive-dead@d2", findings=found, crew=Crew(remote=True))

    assert it.step.kind == "call"


def test_a_repair_in_vain_leaves_the_plan_to_the_other_causes(reasoner: Reasoner, small: PreparedSite) -> None:
    found = ["ohms-fuse-output@out1=open", "ohms-line@out1=normal", "try-neighbours@d1=neighbours-still"]
    tried = [("output-fuse-blown", "out1")]
    reasoning = reasoning_of(reasoner, small, "drive-dead@d1", "drive-dead@d2", findings=found, repaired=tried)
    weight = weigh(reasoner, reasoning, case("drive-dead@d1", findings=found).findings)
    prospect = prospect_of(reasoner, reasoning, weight, None, [], Crew())
    beliefs = dict(zip([it.cause for it in reasoning.hypotheses.open], prospect.beliefs, strict=True))

    assert beliefs["output-fuse-blown"] == 0.0
    assert prospect.beliefs.sum() == pytest.approx(1.0)


def test_the_walk_to_a_repair_is_paid_for(reasoner: Reasoner, medium: PreparedSite) -> None:
    reasoning = reasoning_of(reasoner, medium, "drive-dead@d7")
    weight = weigh(reasoner, reasoning, ())
    at_panel, on_roof = (
        prospect_of(reasoner, reasoning, weight, medium.walks.place_of_part(part), [], Crew()).prices.look
        for part in ("c1", "d7")
    )
    place = next(at for at, it in enumerate(reasoning.hypotheses.open) if it.part == "d7")
    walk = medium.walks.minutes(medium.walks.place_of_part("c1"), medium.walks.place_of_part("d7"))

    assert at_panel[place] - on_roof[place] == pytest.approx(walk)
    assert walk > 0


def test_a_setting_tried_in_vain_costs_less_than_a_part(reasoner: Reasoner, medium: PreparedSite) -> None:
    reasoning = reasoning_of(reasoner, medium, "zone-dead@zs")
    prices = prospect_of(reasoner, reasoning, weigh(reasoner, reasoning, ()), None, [], Crew()).prices
    wasted = dict(zip([it.cause for it in reasoning.hypotheses.open], -prices.mend, strict=True))

    assert 0 < wasted["zone-assignment-wrong"] < wasted["output-fuse-blown"]
