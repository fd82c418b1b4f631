"""Work out the school grade that a text asks of its reader."""

from __future__ import annotations

import re
from collections.abc import Iterator

from readability import getmeasures

SENTENCE_END = re.compile(r"(?<=[.?!:;])\s+")
WORD = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)?|\d[\d.,]*")
VARIABLE = re.compile(r"\$[a-z][a-z0-9_]*")


def reading_grade(text: str) -> float:
    """Return the Flesch-Kincaid grade; 0 for a text without words. A part's variable counts as a short word.

    The formula is from research on adults' reading (Kincaid and others, 1975, from memory) and is rough on a
    sentence or two: grade texts of a dozen words and more.
    """
    sentences = list(_sentences(VARIABLE.sub("it", text)))
    if not sentences:
        return 0.0
    grade: float = getmeasures(sentences, lang="en")["readability grades"]["Kincaid"]
    return grade


def count_words(text: str) -> int:
    """Return how many words and numbers a text has."""
    return len(WORD.findall(VARIABLE.sub("it", text)))


def _sentences(text: str) -> Iterator[str]:
    for sentence in SENTENCE_END.split(text):
        words = WORD.findall(sentence)
        if words:
            yield " ".join(words)
