"""Which sentences tell somebody to defeat a protection, and which forbid it or only look for it."""

from __future__ import annotations

from pathlib import Path

import pytest

from diag.lint_defeats import defeats
from tests.diag.tiny_knowledge import CHECKS, faults_in, spoilt, write_knowledge


@pytest.mark.parametrize(
    "sentence",
    [
        "Bridge it for the test.",
        "Bridge its end switch without delay.",
        "Wedge it open.",
        "Wedge the contact under the guard.",
        "Tape the contact down for the run.",
        "Tie the lever down.",
        "Short the two terminals out.",
        "Link it out and command it.",
        "Put a jumper over the contact.",
        "With the contact bridged command it.",
        "Override the lockout.",
        "Remove the cover and bridge it.",
        "Take off the guard, bridge it.",
        "Look for the contact and bridge it.",
        "See that you bridge it.",
    ],
)
def test_a_sentence_that_tells_to_defeat_a_protection_is_found(sentence: str) -> None:
    assert defeats(sentence)


@pytest.mark.parametrize(
    "sentence",
    [
        "Never wait, bridge it.",
        "Do not wait, bridge it.",
        "Never stop, but bridge it.",
        "Never lean out and bridge it.",
        "Do not lean out; bridge it.",
        "Bridge it, never mind the lamp.",
    ],
)
def test_a_never_that_is_said_of_something_else_forbids_nothing(sentence: str) -> None:
    assert defeats(sentence)


@pytest.mark.parametrize(
    "sentence",
    [
        "Never wedge it, bridge it or tape it down.",
        "Never bridge it or wedge it.",
        "Do not bridge a safety end switch or overload.",
        "Fit a fuse of the same rating, never a larger one, never a bridge.",
        "Nobody may bridge it.",
        "See that nobody bridged it.",
        "Look whether the contact is bridged.",
        "Take out any old bridge.",
    ],
)
def test_a_sentence_that_forbids_it_or_looks_for_it_is_left_alone(sentence: str) -> None:
    assert not defeats(sentence)


@pytest.mark.parametrize(
    "sentence",
    [
        "Free the sash by hand with a plastic wedge.",
        "Replace a blown fuse only after the short is gone.",
        "Hold a strip of paper in the gap.",
        "Measure with a tape, from end to end.",
        "Shorten the cable.",
    ],
)
def test_words_that_only_look_like_it_are_left_alone(sentence: str) -> None:
    assert not defeats(sentence)


def test_the_meaning_of_an_outcome_may_not_tell_it_either(tmp_path: Path) -> None:
    told = CHECKS.replace("means: No power gets here.", "means: Bridge the fuse and try again.")

    assert faults_in(write_knowledge(tmp_path, {"checks/measure.yaml": told})) == [
        "checks/measure.yaml:12:38: 0.outcomes.0.means: “Bridge the fuse and try again.” tells to defeat a protection;"
        " say how to work with it in force, or start with Never"
    ]


def test_the_meaning_of_a_cause_only_describes(tmp_path: Path) -> None:
    described = spoilt("causes/drive/drive-motor-failed.yaml", "It has power.", "Water bridges its contacts.")

    assert faults_in(write_knowledge(tmp_path, described)) == []
