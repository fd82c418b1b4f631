"""Which checks are offered, and to whom."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from diag.crew import Crew, is_for_anybody
from diag.diagnose import diagnose
from diag.observations import Case, Finding, NextCheck
from diag.reasoner import PreparedSite, Reasoner
from tests.builders import case


def test_the_helpdesk_is_offered_only_what_a_lay_person_may_do(reasoner: Reasoner, medium: PreparedSite) -> None:
    here = case("drive-dead@d1", findings=["ask-since-when=suddenly"])

    offered = diagnose(reasoner, medium, here).next
    by_telephone = diagnose(reasoner, medium, replace(here, remote=True)).next

    assert not all(is_for_anybody(reasoner.knowledge.checks[it.check]) for it in offered)
    assert by_telephone
    assert all(is_for_anybody(reasoner.knowledge.checks[it.check]) for it in by_telephone)


def test_the_telephone_changes_no_probability(reasoner: Reasoner, medium: PreparedSite) -> None:
    here = case("drive-dead@d1")

    assert diagnose(reasoner, medium, here).causes == diagnose(reasoner, medium, replace(here, remote=True)).causes


def test_what_the_crew_cannot_make_today_is_not_offered(reasoner: Reasoner, small: PreparedSite) -> None:
    here = case("drive-dead@d1")
    offered = diagnose(reasoner, small, here).next
    tool = next(it.tools[0] for it in offered if it.tools)

    instead = diagnose(reasoner, small, replace(here, crew=Crew(without=frozenset({tool})))).next

    assert instead
    assert not any(tool in it.tools for it in instead)


def test_nobody_is_asked_what_they_just_said(reasoner: Reasoner, small: PreparedSite) -> None:
    told = reasoner.knowledge.symptoms["opens-not-closes"].not_asked
    here = case("opens-not-closes@w1")

    offered = {it.check for count in range(6) for it in _offered_after(reasoner, small, here, count)}

    assert told == ["ask-both-directions"]
    assert offered
    assert offered.isdisjoint(told)


def test_an_answer_that_nobody_asked_for_still_counts(reasoner: Reasoner, small: PreparedSite) -> None:
    here = case("opens-not-closes@w1")
    answered = case("opens-not-closes@w1", findings=["ask-both-directions=both-fail"])

    assert diagnose(reasoner, small, answered).causes != diagnose(reasoner, small, here).causes


def _offered_after(reasoner: Reasoner, small: PreparedSite, here: Case, count: int) -> Sequence[NextCheck]:
    """Return what is offered after so many first checks were answered with their first outcome."""
    for _ in range(count):
        first = diagnose(reasoner, small, here).next[0]
        here = replace(here, findings=(*here.findings, Finding(first.check, first.outcomes[0].id, first.part)))
    return diagnose(reasoner, small, here).next
