"""Which symptoms a text really means."""

from __future__ import annotations

import pytest

from diag.hearing import load_intake, meant
from diag.intake import understand


@pytest.mark.parametrize(
    ("text", "symptoms"),
    [
        ("actuator runs wrong way", ["runs-reversed"]),
        ("automatic command ignored", ["automatic-ignored"]),
        ("discovery finds zero motors", ["discovery-finds-zero"]),
        ("my wifi is slow", []),
    ],
)
def test_a_text_means_one_symptom_or_none(text: str, symptoms: list[str]) -> None:
    assert [it.symptom for it in meant(understand(load_intake(), text))] == symptoms


def test_two_clear_clauses_mean_two_symptoms() -> None:
    understood = understand(load_intake(), "the panel is dark and the fan runs all the time")

    assert {it.symptom for it in meant(understood)} == {"panel-dark", "fan-never-stops"}


def test_an_aside_does_not_make_a_second_symptom() -> None:
    understood = understand(load_intake(), "the left window is very slow, the caretaker told us this morning")

    assert [it.symptom for it in meant(understood)] == ["moves-slowly"]
