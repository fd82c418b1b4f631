"""Compare the numbers in `finds 3 of 4`, `4 fitted, 3 found` and the like."""

from __future__ import annotations

import re

from diag.words.vocabulary import Vocabulary

_NUMBER = re.compile(r"[0-9]+")


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


_FOUND = _words("""
    find finds found discovers discovered discovery detects detected sees seen shows lists gets returns only
    picks scan search identified recognised recognized comes reports got see listed findet fundet finder viser
    gefunden enumerates counts count counted list says gives gave discover detect pick located
    locates meldet taeller erkannt erkennt zeigt scanned
""")
_EXPECTED = _words("meant should expected supposed fitted installed theres there have has soll eigentlich skal")
_OF = _words("of instead von af statt against rather out for ud mod med i")
_NAMED = _words("""
    output out channel zone group window vent drive motor line grp gruppe ausgang udgang floor panel
    controller room address no nr number
""")
"""A number after one of these is a name, not a count."""


def compared_numbers(texts: list[str], vocabulary: Vocabulary) -> str | None:
    """Return `counted-fewer` or `counted-more` when a found number and a fitted number can be told apart."""
    numbers = [
        (place, _value(text, vocabulary))
        for place, text in enumerate(texts)
        if not _NAMED & {*texts[place - 1 : place]}
    ]
    pairs = [(place, value) for place, value in numbers if value is not None]
    if len(pairs) != 2 or pairs[0][1] == pairs[1][1]:
        return None
    (first_at, first), (second_at, second) = pairs
    found, fitted = (second, first) if _is_fitted(texts, first_at, second_at) else (first, second)
    return "counted-fewer" if found < fitted else "counted-more"


def _is_fitted(texts: list[str], first_at: int, second_at: int) -> bool:
    """Tell whether the first number is what is fitted and the second what was found."""
    before_first = texts[max(0, first_at - 2) : first_at]
    after_second = texts[second_at + 1 : second_at + 3]
    between = texts[first_at + 1 : second_at]
    if _OF & set(between):
        return False
    if _EXPECTED & set(texts[max(0, first_at - 5) : first_at]):
        return True
    if _FOUND & set(before_first):
        return False
    return bool(_FOUND & set(between + after_second))


def _value(text: str, vocabulary: Vocabulary) -> int | None:
    if _NUMBER.fullmatch(text):
        return int(text)
    number = vocabulary.numbers.get(text)
    return int(number) if number else None
