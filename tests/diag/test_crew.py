"""Who may make which check, and what fetching tools costs."""

from __future__ import annotations

from diag.crew import COVERS_AND_HEIGHTS, FETCH_MINUTES, FOR_TWO, Crew, fetch_minutes, is_for_anybody
from diag.reasoner import Reasoner


def test_a_lay_person_opens_no_cover_and_climbs_nothing(reasoner: Reasoner) -> None:
    lay = [it for it in reasoner.knowledge.checks.values() if Crew(remote=True).can_make(it)]

    assert {"ask-since-when", "look-panel-lamps", "try-switch-directions"} <= {it.id for it in lay}
    assert not any(COVERS_AND_HEIGHTS & set(it.hazards) for it in lay)
    assert all(it.competence == "ordinary" for it in lay)


def test_every_hazard_kept_from_lay_people_is_one_of_the_cautions(reasoner: Reasoner) -> None:
    assert set(reasoner.knowledge.cautions) >= COVERS_AND_HEIGHTS


def test_nobody_is_sent_onto_a_roof_in_the_dark(reasoner: Reasoner) -> None:
    check = reasoner.knowledge.checks["look-rain-sensor"]

    assert Crew().can_make(check)
    assert not Crew(is_dark=True).can_make(check)


def test_nobody_tests_live_parts_alone(reasoner: Reasoner) -> None:
    live = [it for it in reasoner.knowledge.checks.values() if "live-test" in it.hazards]

    assert live
    assert all(Crew().can_make(it) and not Crew(alone=True).can_make(it) for it in live)
    assert set(reasoner.knowledge.cautions) >= FOR_TWO


def test_a_crew_without_the_competence_or_the_tool_is_not_sent(reasoner: Reasoner) -> None:
    check = reasoner.knowledge.checks["volts-drive"]

    assert not Crew(competences=frozenset({"ordinary", "instructed"})).can_make(check)
    assert not Crew(without=frozenset({"multimeter"})).can_make(check)
    assert not is_for_anybody(check)


def test_a_rare_tool_is_fetched_once(reasoner: Reasoner) -> None:
    check = next(it for it in reasoner.knowledge.checks.values() if "insulation tester" in it.tools)

    assert fetch_minutes(check) >= FETCH_MINUTES
    assert fetch_minutes(check, set(check.tools)) == 0.0
