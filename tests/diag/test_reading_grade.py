"""The school grade of a text."""

from __future__ import annotations

import pytest

from diag.reading_grade import count_syllables, count_words, reading_grade

FLESCH_KINCAID = 0.39, 11.8, -15.59
"""Kincaid and others, Research Branch Report 8-75, 1975: words a sentence, syllables a word, constant; from memory."""


@pytest.mark.parametrize(
    ("text", "sentences", "words", "syllables"),
    [
        ("The cat sat on the mat.", 1, 6, 6),
        ("Isolate the drive. Support the sash.", 2, 6, 9),
        ("A battery is a second source of power.", 1, 8, 12),
    ],
)
def test_the_grade_is_that_of_the_published_formula(text: str, sentences: int, words: int, syllables: int) -> None:
    """Syllables counted by hand: i-so-late; bat-ter-y, sec-ond, pow-er."""
    a_sentence, a_word, constant = FLESCH_KINCAID
    grade = a_sentence * words / sentences + a_word * syllables / words + constant

    assert reading_grade(text) == pytest.approx(grade)


@pytest.mark.parametrize(
    ("word", "syllables"),
    [("the", 1), ("she", 1), ("we", 1), ("cable", 2), ("terminal", 3), ("controller", 3), ("insulation", 4), ("24", 1)],
)
def test_every_word_has_a_syllable_at_least(word: str, syllables: int) -> None:
    assert count_syllables(word) == syllables


def test_shorter_sentences_read_more_easily() -> None:
    long = "Isolate the drive and support the sash and then detach the drive and move the sash by hand."
    short = "Isolate the drive. Support the sash. Then detach the drive. Move the sash by hand."

    assert reading_grade(short) < reading_grade(long)


def test_a_variable_counts_as_a_short_word() -> None:
    assert reading_grade("$controller feeds $drive.") == reading_grade("It feeds it.")
    assert count_words("$controller feeds $drive, 24 V.") == 5


def test_a_text_without_words_has_grade_nought() -> None:
    assert reading_grade("") == 0
    assert reading_grade("...") == 0
