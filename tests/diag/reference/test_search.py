"""The search of the reference finds entries by any of their words."""

from __future__ import annotations

import pytest

from diag.reference.search import all_entries, search
from knowledge.load import Knowledge


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("voltage at the drive", "checks/volts-drive"),
        ("core-open", "causes/core-open"),
        ("Electric SHOCK", "cautions/electric-shock"),
        ("the flap goes the wrong way", "symptoms/runs-reversed"),
    ],
)
def test_the_entry_meant_comes_first(knowledge: Knowledge, text: str, first: str) -> None:
    assert search(knowledge, text)[0].address == first


def test_every_word_must_be_there(knowledge: Knowledge) -> None:
    assert search(knowledge, "voltage elephant") == []


@pytest.mark.parametrize("text", ["", "   ", "?!", "'; --", "\x00"])
def test_a_text_without_words_finds_nothing(knowledge: Knowledge, text: str) -> None:
    assert search(knowledge, text) in ([], search(knowledge, text.strip()))
    assert len(search(knowledge, text)) < len(all_entries(knowledge))


def test_every_entry_that_has_a_page_is_listed_once(knowledge: Knowledge) -> None:
    addresses = [it.address for it in all_entries(knowledge)]
    groups = (knowledge.symptoms, knowledge.causes, knowledge.checks, knowledge.cautions)

    assert len(addresses) == len(set(addresses)) == sum(map(len, groups))
