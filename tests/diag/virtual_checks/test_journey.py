"""Steps cost their minutes, the walk to them, and the climbs on the way."""

from __future__ import annotations

import pytest

from diag.reasoner import Reasoner
from diag.virtual_checks.journey import ANSWER_MINUTES, PROOF_MINUTES
from tests.diag.virtual_checks.calls import call_about


def test_a_check_at_the_panel_from_the_roof_costs_the_walk_down(reasoner: Reasoner) -> None:
    cost = call_about(reasoner).minutes("look-panel-lamps", "c1", "roof")
    own = reasoner.knowledge.checks["look-panel-lamps"].minutes
    assert (cost.minutes, cost.walk_minutes, cost.place, cost.climbs) == (own + ANSWER_MINUTES + 7, 7, "plant", 0)


def test_a_second_check_at_the_same_place_costs_no_walk(reasoner: Reasoner) -> None:
    assert call_about(reasoner).minutes("look-panel-lamps", "c1", "plant").walk_minutes == 0.0


def test_the_way_to_a_roof_drive_is_a_climb(reasoner: Reasoner) -> None:
    cost = call_about(reasoner).minutes("volts-drive", "d7", "plant")
    assert (cost.place, cost.walk_minutes, cost.climbs) == ("roof", 7, 1)


def test_a_question_leaves_one_where_one_is(reasoner: Reasoner) -> None:
    cost = call_about(reasoner).minutes("ask-since-when", None, "hall")
    assert (cost.place, cost.walk_minutes) == ("hall", 0.0)


@pytest.mark.parametrize(("part", "place"), [("d7", "roof"), ("w1", "north"), ("k2", "north"), ("out1", "plant")])
def test_a_repair_is_made_where_its_part_is_and_includes_its_proof(reasoner: Reasoner, part: str, place: str) -> None:
    cost = call_about(reasoner).repair_minutes("core-open", part, None)
    assert cost.place == place
    assert cost.minutes >= reasoner.knowledge.causes["core-open"].remedy_minutes + PROOF_MINUTES
