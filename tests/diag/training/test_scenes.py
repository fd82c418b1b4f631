"""Scenes: a fault in the virtual site, told completely and opened again as it was."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from diag.observations import Finding
from diag.training.item import Quiz
from diag.training.quiz import QuizRequest, make_quiz
from diag.training.readings import shown_reading, typed_reading
from diag.training.scenarios import by_cause, draw_scene, found_by, reopened, telling_findings, weight_of
from diag.training.suspicion import parts_about, symptoms_of
from diag.training.telling import keep_case, kept_case, outcome_id, tell_case, tell_finding
from diag.training.workshop import Workshop

KINDS = ("likeliest-cause", "next-check", "is-fault")


@pytest.fixture(scope="module")
def told(workshop: Workshop) -> Quiz:
    """Return questions that tell a case."""
    return make_quiz(workshop, QuizRequest(questions=12, level=2, seed=31, kinds=KINDS))


def test_the_stem_tells_all_that_the_rules_know(workshop: Workshop, told: Quiz) -> None:
    for item in told.items:
        case = kept_case(item.evidence)
        stem = " ".join(item.stem)

        assert all(workshop.knowledge.symptoms[it.symptom].name in stem for it in case.symptoms)
        assert all(workshop.knowledge.conditions[it].name in stem for it in case.told)
        assert all(tell_finding(workshop, it) in stem for it in case.findings)
        assert f"{case.at:%Y-%m-%d, %H:%M}" in stem


def test_a_case_comes_back_from_its_evidence(told: Quiz) -> None:
    for item in told.items:
        case = kept_case(item.evidence)

        assert kept_case(keep_case(case)) == case


def test_the_same_dice_draw_the_same_scene(workshop: Workshop) -> None:
    causes = list(workshop.knowledge.causes.values())
    one, two = (draw_scene(workshop, Random("dice"), causes) for _ in range(2))

    assert one is not None
    assert two is not None
    assert (one.case, one.truth) == (two.case, two.truth)


def test_findings_that_point_to_the_cause_raise_its_share(workshop: Workshop) -> None:
    scene = draw_scene(workshop, Random(3), [workshop.cause("output-fuse-blown")])
    assert scene is not None
    before = by_cause(scene, weight_of(scene, workshop).probabilities)["output-fuse-blown"]
    after = scene.told(telling_findings(workshop, scene, decisive_too=True)[0])

    assert by_cause(after, weight_of(after, workshop).probabilities)["output-fuse-blown"] > before


def test_a_scene_opened_again_weighs_the_same(workshop: Workshop) -> None:
    scene = draw_scene(workshop, Random(3), [workshop.cause("output-fuse-blown")])
    assert scene is not None
    again = reopened(workshop, keep_case(scene.case))

    assert by_cause(again, weight_of(again, workshop).probabilities) == by_cause(
        scene, weight_of(scene, workshop).probabilities
    )


def test_what_is_found_can_be_typed_as_a_finding(workshop: Workshop) -> None:
    scene = draw_scene(workshop, Random(3), [workshop.cause("output-fuse-blown")])
    assert scene is not None
    found = [found_by(workshop, scene, check, part) for check, part in scene.reasoning.options.options]
    made = [it for it in found if it is not None]

    assert len(made) > 10
    assert all(outcome_id(workshop, it) in {o.id for o in workshop.check(it.check).outcomes} for it in made)


def test_a_check_at_no_part_in_particular_is_told_without_one(workshop: Workshop) -> None:
    said = tell_finding(workshop, Finding("ask-duration", "stays", "site"))

    assert "the site" not in said


def test_nothing_checked_is_said_so(workshop: Workshop) -> None:
    scene = draw_scene(workshop, Random(3), [workshop.cause("output-fuse-blown")])
    assert scene is not None

    assert tell_case(workshop, replace(scene.case, findings=()))[-1] == "Nothing has been checked yet."


@pytest.mark.parametrize(
    "check", ["volts-drive", "volts-supply-idle", "ohms-core", "volts-battery-rest", "current-drive"]
)
def test_made_up_readings_belong_to_the_outcome_they_are_made_for(workshop: Workshop, check: str) -> None:
    entry = workshop.check(check)
    parts = sorted(workshop.topology.of_kind(entry.at))
    made = {
        (part, outcome.id): typed_reading(workshop, entry, part, outcome.id, Random(f"{part}/{outcome.id}"))
        for part in parts
        for outcome in entry.outcomes
    }

    assert any(made.values())
    for (part, outcome), typed in made.items():
        assert typed is None or outcome_id(workshop, Finding(check, typed, part)) == outcome


def test_degrees_are_shown_with_their_sign() -> None:
    assert (shown_reading("21.5 C"), shown_reading("3"), shown_reading("0.2 V")) == ("21.5 °C", "3", "0.2 V")


def test_symptoms_and_parts_that_go_with_a_cause(workshop: Workshop) -> None:
    symptoms = symptoms_of(workshop, workshop.cause("drive-thermal-cut-out"))
    dead = next(it for it in symptoms if it.id == "drive-dead")

    assert parts_about(workshop, dead) == sorted(workshop.topology.of_kind("drive"))


def test_fault_or_no_fault_offers_both_verdicts(workshop: Workshop) -> None:
    quiz = make_quiz(workshop, QuizRequest(questions=6, level=1, seed=9, kinds=("is-fault",)))

    for item in quiz.items:
        assert {workshop.cause(it.id).as_designed for it in item.choices} == {True, False}


def test_normal_behaviour_stands_beside_no_other_designed_one(workshop: Workshop) -> None:
    quiz = make_quiz(workshop, QuizRequest(questions=10, level=2, seed=10, kinds=("is-fault", "likeliest-cause")))

    for item in quiz.items:
        designed = [it.id for it in item.choices if workshop.cause(it.id).as_designed]

        assert item.key.id not in designed or "as-designed" not in designed or len(designed) == 1
