"""Work out the school grade that a text asks of its reader."""

from __future__ import annotations

import re

from readability import KincaidGradeLevel  # type: ignore[import-untyped]
from readability.langdata import countsyllables_en  # type: ignore[import-untyped]

SENTENCE_END = re.compile(r"(?<=[.?!:;])\s+")
WORD = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)?|\d[\d.,]*")
VARIABLE = re.compile(r"\$[a-z][a-z0-9_]*")


def reading_grade(text: str) -> float:
    """Return the Flesch-Kincaid grade; 0 for a text without words. A part's variable counts as a short word.

    The formula is from research on adults' reading (Kincaid and others, 1975, from memory) and is rough on a
    sentence or two: grade texts of a dozen words and more.
    """
    sentences = [
        words for sentence in SENTENCE_END.split(VARIABLE.sub("it", text)) if (words := WORD.findall(sentence))
    ]
    words = [word for sentence in sentences for word in sentence]
    if not words:
        return 0.0
    grade: float = KincaidGradeLevel(sum(map(count_syllables, words)), len(words), len(sentences))
    return grade


def count_words(text: str) -> int:
    """Return how many words and numbers a text has."""
    return len(WORD.findall(VARIABLE.sub("it", text)))


def count_syllables(word: str) -> int:
    """Return about how many syllables an English word has, at least one.

    The library's own rules, which find none in words such as “the” and “she”.
    """
    syllables: int = countsyllables_en(word.lower())
    return max(1, syllables)
