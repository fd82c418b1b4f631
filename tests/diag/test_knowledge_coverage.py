"""The table of symptoms counts what is there."""

from __future__ import annotations

from pathlib import Path

from diag.knowledge_coverage import coverage, ties
from knowledge.load import Knowledge, load_knowledge
from tests.diag.test_touching import STORY
from tests.diag.tiny_knowledge import write_knowledge


def test_a_line_counts_what_answers_a_symptom(tmp_path: Path) -> None:
    (line,) = coverage(load_knowledge(write_knowledge(tmp_path)), {"far-window": STORY})

    assert line.symptom == "drive-dead"
    assert line.causes == ("core-open", "drive-motor-failed")
    assert line.checks == ("current-drive", "ohms-core", "volts-drive")
    assert (line.rules, line.cases, line.phrases, line.stories) == (2, 3, 6, 1)


def test_the_pair_that_is_hardest_to_tell_apart_is_named_with_its_checks(tmp_path: Path) -> None:
    (line,) = coverage(load_knowledge(write_knowledge(tmp_path)), {})

    assert line.closest == ("core-open", "drive-motor-failed")
    assert line.closest_checks == 3


def test_every_symptom_has_a_line(knowledge: Knowledge) -> None:
    assert [it.symptom for it in coverage(knowledge, {})] == list(knowledge.symptoms)


def test_a_symptom_is_tied_to_each_cause_with_the_checks_that_show_and_decide_it(tmp_path: Path) -> None:
    core, motor = ties(load_knowledge(write_knowledge(tmp_path)), "drive-dead")

    assert (core.cause, core.seen, core.checks, core.decisive) == (
        "core-open",
        "usually",
        ("volts-drive", "ohms-core"),
        ("ohms-core",),
    )
    assert (motor.cause, motor.seen, motor.decisive) == ("drive-motor-failed", "often", ())


def test_every_symptom_is_tied_to_the_causes_its_line_counts(knowledge: Knowledge) -> None:
    counted = {it.symptom: set(it.causes) for it in coverage(knowledge, {})}

    assert {it: {tie.cause for tie in ties(knowledge, it)} for it in counted} == counted
