"""A started entry tells its author what is left to fill, and passes the check once filled."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml

from diag.part_joins import NotJoined
from diag.skeletons import cause_skeleton, check_skeleton, skeleton_path, symptom_skeleton
from knowledge.load import load_knowledge
from tests.diag.tiny_knowledge import CHECKS, FILES, MOTOR, faults_in, write_knowledge

TO_FILL = re.compile(r"FILL[^\n]*")


def filled(text: str) -> str:
    """Return a skeleton whose author wrote a different short text at every mark."""
    letters = iter("abcdefghijklmnop")
    return TO_FILL.sub(lambda _: f"Look at part {next(letters)} of it", text)


def started_cause(folder: Path) -> str:
    """Return the skeleton of a cause for a symptom and a check of the small knowledge base."""
    knowledge = load_knowledge(folder)
    return cause_skeleton("drive-gear-worn", "drive", knowledge.symptoms["drive-dead"], knowledge.checks["volts-drive"])


def test_a_filled_cause_has_no_faults(tmp_path: Path) -> None:
    text = filled(started_cause(write_knowledge(tmp_path)))
    text = text.replace("outcomes: {none: usually, normal: seldom}", "outcomes: {none: often, normal: seldom}")
    name = str(skeleton_path("cause", "drive-gear-worn", "drive"))

    assert faults_in(write_knowledge(tmp_path, {name: text})) == []


def test_a_filled_cause_at_another_part_is_joined_to_the_symptom_and_has_no_faults(tmp_path: Path) -> None:
    knowledge = load_knowledge(write_knowledge(tmp_path))
    symptom, check = knowledge.symptoms["drive-dead"], knowledge.checks["ohms-core"]
    text = filled(cause_skeleton("core-short", "wiring", symptom, check, "cable"))
    text = text.replace("outcomes: {open: usually, through: seldom}", "outcomes: {open: often, through: often}")
    text = text.replace("cautions: [electric-shock", "cautions: [life-safety, electric-shock")

    assert "sits-at: cable\n" in text
    assert "      - feeds: {consumer: $d, source: $c, source_kind: cable}\n" in text
    assert faults_in(write_knowledge(tmp_path, {"causes/wiring/core-short.yaml": text})) == []


def test_a_cause_cannot_start_at_a_part_that_no_single_fact_reaches(tmp_path: Path) -> None:
    symptom = load_knowledge(write_knowledge(tmp_path)).symptoms["drive-dead"]

    with pytest.raises(NotJoined, match=r"joins a drive to a schedule\. From a drive a skeleton reaches"):
        cause_skeleton("clock-off", "settings", symptom, sits_at="schedule")


def test_every_place_left_to_fill_in_a_cause_is_told(tmp_path: Path) -> None:
    text = started_cause(write_knowledge(tmp_path))
    name = str(skeleton_path("cause", "drive-gear-worn", "drive"))
    places = [it for it in text.split("\n") if "FILL" in it and not it.lstrip().startswith("#")]

    faults = [it for it in faults_in(write_knowledge(tmp_path, {name: text})) if "still to fill" in it]

    assert len(faults) == len(places) == 8


def test_a_cause_started_without_symptom_and_check_names_what_it_needs(tmp_path: Path) -> None:
    text = cause_skeleton("drive-gear-worn", "drive")
    faults = faults_in(write_knowledge(tmp_path, {"causes/drive/drive-gear-worn.yaml": text}))

    assert any("symptom symptom is never fill-symptom-id" in it for it in faults)
    assert any("there is no check fill-check-id" in it for it in faults)


def test_a_filled_symptom_that_a_rule_asks_for_has_no_faults(tmp_path: Path) -> None:
    text = filled(symptom_skeleton("drive-silent", "movement")).replace("symptom: intermittent", "symptom: drive-dead")
    asked = MOTOR.replace("symptom: drive-dead, part: $d", "symptom: [drive-dead, drive-silent], part: $d")
    files = {
        "symptoms/movement.yaml": FILES["symptoms/movement.yaml"] + text,
        "causes/drive/drive-motor-failed.yaml": asked,
    }

    assert faults_in(write_knowledge(tmp_path, files)) == []


def test_a_filled_check_that_a_cause_names_has_no_faults(tmp_path: Path) -> None:
    used = MOTOR.replace(
        "remedy:\n", "  - check: look-plate\n    outcomes: {not-so: usually}\n    because: It shows.\nremedy:\n"
    )
    files = {
        "checks/measure.yaml": CHECKS + filled(check_skeleton("look-plate", "measure")),
        "causes/drive/drive-motor-failed.yaml": used,
    }

    assert faults_in(write_knowledge(tmp_path, files)) == []


@pytest.mark.parametrize("kind", ["ask", "look", "operate", "measure", "settings"])
def test_a_check_of_every_kind_can_be_started(kind: str) -> None:
    (entry,) = yaml.safe_load(check_skeleton("look-plate", kind))

    assert (entry["id"], entry["kind"]) == ("look-plate", kind)


def test_a_cause_lies_in_a_file_of_its_own_and_the_others_in_lists() -> None:
    assert str(skeleton_path("cause", "x", "wiring")) == "causes/wiring/x.yaml"
    assert str(skeleton_path("symptom", "x", "smoke")) == "symptoms/smoke.yaml"
    assert str(skeleton_path("check", "x", "look")) == "checks/look.yaml"
