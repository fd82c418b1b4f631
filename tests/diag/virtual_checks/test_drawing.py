"""Call-outs are drawn by how common their causes are, and the same dice draw the same."""

from __future__ import annotations

import os
import subprocess
import sys
from collections import Counter
from pathlib import Path
from random import Random

import pytest

from diag.reasoner import Reasoner
from diag.virtual.faults import COMES_AND_GOES, FAULTS, Fault
from diag.virtual.pairs import TOGETHER
from diag.virtual_checks.drawing import NothingToNotice, call_out, draw, draw_faults, odds_of
from knowledge.load import Knowledge
from tests.diag.virtual.sites import NAMES
from tests.diag.virtual_checks.calls import prepared

ROOT = Path(__file__).parents[3]


@pytest.mark.parametrize("faults", [1, 2])
def test_the_same_dice_draw_the_same_call_out(reasoner: Reasoner, faults: int) -> None:
    one, other = (draw(reasoner, prepared("medium"), Random(9), faults) for _ in range(2))
    assert (one.faults, one.symptoms, one.told, one.at, one.seed) == (
        other.faults, other.symptoms, other.told, other.at, other.seed
    )  # fmt: skip
    assert one.answer("look-panel-lamps", "c1") == other.answer("look-panel-lamps", "c1")


@pytest.mark.parametrize("name", NAMES)
def test_what_is_reported_is_a_symptom_at_a_part_it_can_be_about(
    reasoner: Reasoner, knowledge: Knowledge, name: str
) -> None:
    dice, kinds = Random(3), prepared(name).topology.kinds
    for _ in range(30):
        for it in draw(reasoner, prepared(name), dice).symptoms:
            assert it.part is not None
            assert kinds[it.part] in knowledge.symptoms[it.symptom].about


def test_what_is_told_is_among_the_circumstances_that_are_known(reasoner: Reasoner, knowledge: Knowledge) -> None:
    dice = Random(3)
    told = {it for _ in range(40) for it in draw(reasoner, prepared("medium"), dice).told}
    assert told != set()
    assert told <= set(knowledge.conditions)


def test_common_causes_are_drawn_as_often_as_their_base_rates_say(reasoner: Reasoner, knowledge: Knowledge) -> None:
    topology, dice = prepared("medium").topology, Random(5)
    odds = odds_of(reasoner, topology)
    drawn = Counter(draw_faults(odds, topology, dice, 1)[0].cause for _ in range(6000))
    total = sum(odds.weights)
    for cause in ("core-open", "polarity-swapped", "hold-off-active"):
        rate = knowledge.causes[cause].base_rate.per_thousand / total
        assert drawn[cause] / 6000 == pytest.approx(rate, abs=4 * (rate / 6000) ** 0.5)


def test_half_of_the_pairs_have_one_event_behind_them(reasoner: Reasoner) -> None:
    topology, dice = prepared("medium").topology, Random(5)
    odds = odds_of(reasoner, topology)
    pairs = [draw_faults(odds, topology, dice, 2) for _ in range(400)]
    related = sum(any(_is(pair, *causes) for causes in TOGETHER.values()) for pair in pairs if len(pair) == 2)
    assert 0.4 < related / 400 < 0.6


def _is(pair: tuple[Fault, ...], first: frozenset[str], second: frozenset[str]) -> bool:
    return pair[0].cause in first and pair[1].cause in second


def test_some_faults_come_and_go_and_no_setting_does(reasoner: Reasoner) -> None:
    topology, dice = prepared("medium").topology, Random(5)
    odds = odds_of(reasoner, topology)
    made = [draw_faults(odds, topology, dice, 1)[0] for _ in range(1500)]
    at_times = [it for it in made if it.share_of_time < 1]
    assert 0.04 < len(at_times) / 1500 < 0.13
    assert min(it.share_of_time for it in at_times) >= 0.5
    assert {it.cause for it in at_times} <= COMES_AND_GOES < set(FAULTS)


def test_a_draw_can_be_kept_to_some_causes(reasoner: Reasoner) -> None:
    causes = frozenset({"core-open", "hinge-seized"})
    dice = Random(2)
    assert {draw(reasoner, prepared("medium"), dice, causes=causes).faults[0].cause for _ in range(12)} == causes


def test_nothing_is_drawn_where_the_site_can_have_none_of_the_causes(reasoner: Reasoner) -> None:
    with pytest.raises(NothingToNotice, match="Hallowbeck"):
        draw(reasoner, prepared("medium"), Random(2), causes=frozenset({"fan-belt-broken"}))


def test_the_description_can_be_the_drawing_or_what_is_set(reasoner: Reasoner) -> None:
    fault = [Fault("hold-off-too-long", "zn", 0.5)]
    drawn = call_out(reasoner, prepared("medium"), fault, description="as-drawn")
    read_out = call_out(reasoner, prepared("medium"), fault, description="as-set")
    assert drawn is not None
    assert read_out is not None
    assert drawn.prepared.site.zones["zn"].hold_off_minutes == 30
    assert (read_out.prepared.site.zones["zn"].hold_off_minutes or 0) > 300


def test_nobody_calls_about_a_sound_site(reasoner: Reasoner) -> None:
    assert call_out(reasoner, prepared("medium"), []) is None


DRAWS = """
import sys
from random import Random
from diag.reasoner import prepare_reasoner
from diag.virtual_checks.drawing import draw
from knowledge.load import load_knowledge
from tests.diag.virtual_checks.calls import prepared
reasoner = prepare_reasoner(load_knowledge(), lambda chapter, facts: ())
dice = Random(3)
for faults in (1, 2, 1, 2):
    call = draw(reasoner, prepared("medium"), dice, faults)
    print(call.faults, call.symptoms, sorted(call.told), call.answer("look-panel-lamps", "c1"))
"""


def test_the_same_dice_draw_the_same_in_every_process() -> None:
    drawn = [
        subprocess.run(
            [sys.executable, "-c", DRAWS],
            capture_output=True, text=True, check=True, cwd=ROOT, env={**os.environ, "PYTHONHASHSEED": seed},
        ).stdout
        for seed in ("1", "2")
    ]  # fmt: skip
    assert drawn[0].count("Fault(") >= 6
    assert drawn[0] == drawn[1]
