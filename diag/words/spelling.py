"""Mend slips of the keyboard and of dictation, only in words that are not words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from rapidfuzz.distance import OSA
from rapidfuzz.process import extract

from diag.words.cleaning import Word
from diag.words.vocabulary import Vocabulary

_ROWS = ("qwertyuiop", "asdfghjkl", "zxcvbnm")
NEIGHBOUR_COST = 0.6
LONG_WORD = 7
SHORTEST_MENDED = 4
SHORTEST_HALF = 3
LONGEST_PHRASE_HEARD = 5


@dataclass(frozen=True, slots=True)
class Correction:
    """A word as typed and as understood."""

    typed: str
    meant: str


def mend_words(
    words: Sequence[Word], vocabulary: Vocabulary, names: frozenset[str] = frozenset()
) -> tuple[tuple[Word, ...], tuple[Correction, ...]]:
    """Return the words with slips mended, and what was mended. `names` are spelt right on this site."""
    mended: list[Word] = []
    corrections: list[Correction] = []
    index = 0
    while index < len(words):
        taken, meant = _heard(words, index, vocabulary)
        if not taken:
            taken, meant = 1, _mended(words[index], vocabulary, names)
        typed = " ".join(word.text for word in words[index : index + taken])
        if meant != (typed,):
            corrections.append(Correction(typed, " ".join(meant)))
        span = words[index].start, words[index + taken - 1].end
        mended += [Word(text, *span) for text in meant]
        index += taken
    return tuple(mended), tuple(corrections)


def _heard(words: Sequence[Word], index: int, vocabulary: Vocabulary) -> tuple[int, tuple[str, ...]]:
    """Return how many words are a known mishearing, and what was meant."""
    for length in range(min(LONGEST_PHRASE_HEARD, len(words) - index), 0, -1):
        heard = tuple(word.text for word in words[index : index + length])
        if heard in vocabulary.misheard:
            return length, vocabulary.misheard[heard]
    return 0, ()


def _mended(word: Word, vocabulary: Vocabulary, names: frozenset[str]) -> tuple[str, ...]:
    text = word.text
    if word.is_mark or text in vocabulary.known or text in names or not text.isalpha():
        return (text,)
    return _halves(text, vocabulary) or (nearest_word(text, vocabulary.meant) or text,)


def nearest_word(text: str, meant: Sequence[str]) -> str | None:
    """Return the word a slip most likely meant: one edit away, two in long words."""
    if len(text) < SHORTEST_MENDED:
        return None
    allowed = 2 if len(text) >= LONG_WORD else 1
    near = extract(text, meant, scorer=OSA.distance, score_cutoff=allowed, limit=8)
    scored = [(_cost(text, candidate, distance), candidate) for candidate, distance, _ in near]
    return min(scored)[1] if scored else None


def _cost(typed: str, meant: str, distance: float) -> float:
    """Return how unlikely the slip is: keyboard neighbours and swapped letters are the likeliest."""
    cost = float(distance)
    if len(typed) == len(meant) and distance == 1:
        differing = [(one, other) for one, other in zip(typed, meant, strict=True) if one != other]
        if len(differing) == 2 or _are_neighbours(*differing[0]):
            cost = NEIGHBOUR_COST
    return cost + (0.3 if typed[0] != meant[0] else 0)


def _are_neighbours(one: str, other: str) -> bool:
    places = [(row, line.find(letter)) for letter in (one, other) for row, line in enumerate(_ROWS) if letter in line]
    if len(places) < 2:
        return False
    (row, column), (other_row, other_column) = places
    return abs(row - other_row) <= 1 and abs(column - other_column) <= 1


def _halves(text: str, vocabulary: Vocabulary) -> tuple[str, ...]:
    """Return the two words that ran together, or nothing."""
    if len(text) < 2 * SHORTEST_HALF:
        return ()
    for cut in range(len(text) - SHORTEST_HALF, SHORTEST_HALF - 1, -1):
        halves = text[:cut], text[cut:]
        if all(half in vocabulary.known for half in halves) and any(half in vocabulary.phrases for half in halves):
            return halves
    return ()


def shifted(word: Word, text: str) -> Word:
    """Return the word spelt otherwise at the same place."""
    return replace(word, text=text)
