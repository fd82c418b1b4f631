"""Which checks are offered, and to whom."""

from __future__ import annotations

from dataclasses import replace

from diag.crew import is_for_anybody
from diag.diagnose import diagnose
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
