"""Mend slips of the keyboard and of dictation, only in words that are not words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rapidfuzz.distance import OSA
from rapidfuzz.process import extract

from diag.words.cleaning import Word
from diag.words.name_words import is_name_word
from diag.words.vocabulary import Vocabulary

_ROWS = ("qwertyuiop", "asdfghjkl", "zxcvbnm")
_VOWELS = frozenset("aeiouy")
NEIGHBOUR_COST = 0.6
VOWEL_COST = 0.5
DOUBLED_COST = 0.4
LENGTH_COST = 0.8
OTHER_START_COST = 0.3
ADDED_COST = 0.05
"""A letter is sooner left out than added, as in `windw`."""
LONG_WORD = 7
SHORT_WORD = 4
MOST_SHORT = 1.0
MOST_LONG = 2.0
SHORTEST_MENDED = 4
SHORTEST_NAME = 3
SHORTEST_PARTED = 6
SHORTEST_HALF = 3
LONGEST_PHRASE_HEARD = 5


@dataclass(frozen=True, slots=True)
class Correction:
    """A word as typed and as understood."""

    typed: str
    meant: str


def mend_words(
    words: Sequence[Word], vocabulary: Vocabulary, names: Mapping[int, Sequence[str]] | None = None
) -> tuple[tuple[Word, ...], tuple[Correction, ...]]:
    """Return the words with slips mended, and what was mended. `names` are words of this site by length."""
    mended: list[Word] = []
    corrections: list[Correction] = []
    index = 0
    while index < len(words):
        taken, meant = _heard(words, index, vocabulary)
        if not taken:
            taken, meant = 1, _mended(words[index], vocabulary, names or {})
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
    return _parted(words, index, vocabulary)


def _parted(words: Sequence[Word], index: int, vocabulary: Vocabulary) -> tuple[int, tuple[str, ...]]:
    """Return 2 and the word that `out put` was meant to be, or 0; a compound that was parted stays so."""
    pair = tuple(word.text for word in words[index : index + 2])
    joined = "".join(pair)
    is_compound = len(pair) == 2 and words[index].start == words[index + 1].start
    if len(pair) < 2 or is_compound or len(joined) < SHORTEST_PARTED or not joined.isalpha():
        return 0, ()
    is_word = any(phrase == (joined,) for phrase, _ in vocabulary.phrases.get(joined, ()))
    is_phrase = any(phrase[:2] == pair for phrase, _ in vocabulary.phrases.get(pair[0], ()))
    return (2, (joined,)) if is_word and not is_phrase else (0, ())


def _mended(word: Word, vocabulary: Vocabulary, names: Mapping[int, Sequence[str]]) -> tuple[str, ...]:
    text = word.text
    is_right = text in vocabulary.known or text in names.get(len(text), ()) or is_name_word(text)
    if word.is_mark or is_right or not text.isalpha():
        return (text,)
    likely = nearest_word(text, names, SHORTEST_NAME) or nearest_word(text, vocabulary.short, SHORTEST_NAME)
    if likely:
        return (likely,)
    return _halves(text, vocabulary) or (nearest_word(text, vocabulary.meant) or text,)


def nearest_word(text: str, meant: Mapping[int, Sequence[str]], shortest: int = SHORTEST_MENDED) -> str | None:
    """Return the word a slip most likely meant, of words by length: one edit away, two in long words."""
    if len(text) < shortest:
        return None
    allowed = 2 if len(text) >= LONG_WORD else 1
    lengths = range(len(text) - allowed, len(text) + allowed + 1)
    alike = [word for length in lengths for word in meant.get(length, ())]
    near = extract(text, alike, scorer=OSA.distance, score_cutoff=allowed, limit=8)
    scored = [(_cost(text, candidate, distance), candidate) for candidate, distance, _ in near]
    return min(scored)[1] if scored and min(scored)[0] <= _most(text) else None


def _most(text: str) -> float:
    """Return how unlikely a slip may be: in a short word only a likely one is believed."""
    return MOST_SHORT if len(text) <= SHORT_WORD else MOST_LONG


def _cost(typed: str, meant: str, distance: float) -> float:
    """Return how unlikely the slip is: keyboard neighbours and swapped letters are the likeliest."""
    if typed.replace(typed[-1] * 2, typed[-1]) == meant:
        return DOUBLED_COST
    cost = float(distance) if len(typed) == len(meant) else distance * LENGTH_COST
    if len(typed) == len(meant) and distance == 1:
        differing = [(one, other) for one, other in zip(typed, meant, strict=True) if one != other]
        if len(differing) == 2 or _are_neighbours(*differing[0]):
            cost = NEIGHBOUR_COST
        if _VOWELS.issuperset(differing[0]):
            cost = VOWEL_COST
    return cost + (OTHER_START_COST if typed[0] != meant[0] else 0) + (ADDED_COST if len(meant) < len(typed) else 0)


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
