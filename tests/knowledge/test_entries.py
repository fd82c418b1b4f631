"""The knowledge base as a whole."""

from __future__ import annotations

import pytest

from diag.chapters import symptoms_asked
from diag.lint import check_knowledge
from knowledge.load import Knowledge


def test_the_knowledge_base_has_no_faults(knowledge: Knowledge) -> None:
    assert list(map(str, check_knowledge(knowledge))) == []


def test_every_symptom_has_at_least_three_causes_to_weigh(knowledge: Knowledge) -> None:
    suspects: dict[str, set[str]] = {symptom: set() for symptom in knowledge.symptoms}
    for cause in knowledge.causes.values():
        for entry in cause.rules:
            if entry.suspect:
                for symptom in symptoms_asked(entry):
                    suspects[symptom].add(cause.id)

    assert {symptom: len(causes) for symptom, causes in suspects.items() if len(causes) < 3} == {}


def test_all_five_kinds_of_rule_are_used(knowledge: Knowledge) -> None:
    rules = [entry for cause in knowledge.causes.values() for entry in cause.rules]
    rules += [entry for deduction in knowledge.deductions.values() for entry in deduction.rules]
    used = {
        kind for entry in rules for kind in ("suspect", "weigh", "exclude", "derive", "advise") if getattr(entry, kind)
    }

    assert used == {"suspect", "weigh", "exclude", "derive", "advise"}
    assert len(rules) >= 250


def test_the_smoke_function_is_never_left_impaired_without_saying_who_must_be_told(knowledge: Knowledge) -> None:
    for check in knowledge.checks.values():
        if check.competence == "fire":
            assert "life-safety" in check.hazards, check.id


@pytest.mark.parametrize("word", ["bridge the detector", "bypass the", "defeat"])
def test_no_text_advises_to_defeat_a_protective_function(knowledge: Knowledge, word: str) -> None:
    texts = [text for cause in knowledge.causes.values() for text in (*cause.remedy, *cause.proof)]
    texts += [check.how for check in knowledge.checks.values()]
    found = [
        text for text in texts if word in text.lower() and "never" not in text.lower() and "do not" not in text.lower()
    ]

    assert found == []


def test_likelihood_words_fall_from_always_to_never(knowledge: Knowledge) -> None:
    numbers = [knowledge.words.likelihood[it] for it in ("always", "usually", "often", "sometimes", "seldom", "never")]

    assert numbers == sorted(numbers, reverse=True)


COMMANDED_AT_A_DRIVE = (
    "look-drive-behaviour", "volts-drive", "current-drive", "try-drive-stroke", "try-reference-run",
    "try-disconnected-drive-by-hand", "try-drive-detached", "try-swap-drive-channel", "try-swap-cores", "force-hand",
)  # fmt: skip


@pytest.mark.parametrize("check", COMMANDED_AT_A_DRIVE)
def test_a_check_that_moves_or_frees_a_drive_says_what_holds_for_a_pair(knowledge: Knowledge, check: str) -> None:
    assert "two drives" in knowledge.checks[check].how
