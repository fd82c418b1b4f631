"""Words that would give a cause away are kept out of the call-out that asks for it."""

from __future__ import annotations

from random import Random

import pytest

from diag.training.giveaways import discreet, report_gives_away
from diag.training.lint import echoes
from diag.training.scenarios import Scene, draw_scene, telling_findings
from diag.training.telling import tell_finding
from diag.training.workshop import Workshop


def scene_of(workshop: Workshop, cause: str) -> Scene:
    """Return a call-out behind which a cause is."""
    scene = draw_scene(workshop, Random(3), [workshop.cause(cause)])
    assert scene is not None
    return scene


@pytest.mark.parametrize(
    ("asked", "key", "others", "found"),
    [
        (["The battery is flat."], "Battery worn out", ["Charger dead"], {"battery"}),
        (["The battery is flat."], "Battery worn out", ["Battery not connected"], set()),
        (["Nothing moves."], "Battery worn out", ["Charger dead"], set()),
    ],
)
def test_a_word_that_only_the_right_answer_shares_with_the_stem_is_an_echo(
    asked: list[str], key: str, others: list[str], found: set[str]
) -> None:
    assert echoes(asked, key, others) == found


def test_findings_that_are_told_name_nothing_of_the_cause_alone(workshop: Workshop) -> None:
    scene = scene_of(workshop, "output-fuse-blown")
    every = telling_findings(workshop, scene, decisive_too=True)
    kept = discreet(workshop, scene, every)
    names = [workshop.cause(it.cause).name for it in scene.hypotheses if it.cause in workshop.knowledge.causes]

    assert 0 < len(kept) <= len(every)
    for finding in kept:
        others = [it for it in names if it != workshop.cause(scene.cause).name]
        assert not echoes([tell_finding(workshop, finding)], workshop.cause(scene.cause).name, others)


def test_a_report_may_name_the_cause(workshop: Workshop) -> None:
    given_away = {
        it: report_gives_away(workshop, scene_of(workshop, it)) for it in ("output-fuse-blown", "clock-wrong")
    }

    assert given_away["output-fuse-blown"] is False
