"""Compare the numbers in `finds 3 of 4`, `4 fitted, 3 found` and the like."""

from __future__ import annotations

import re

from diag.words.vocabulary import Vocabulary

_NUMBER = re.compile(r"[0-9]+")
_FOUND = frozenset(
    "find finds found discovers discovered discovery detects detected sees seen shows lists gets returns only picks "
    "scan search identified recognised recognized comes reports got see listed findet fundet finder viser gefunden".split()
)
_FITTED = frozenset(
    "fitted installed of instead should expected there expect exist connected are have out hang but statt von af "
    "verbaut monteret actual actually wired real only ought".split()
)


def compared_numbers(texts: list[str], vocabulary: Vocabulary) -> str | None:
    """Return `counted-fewer` or `counted-more` when a found number and a fitted number can be told apart."""
    numbers = [(place, _value(text, vocabulary)) for place, text in enumerate(texts)]
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
    if "of" in between or "instead" in between or "von" in between or "af" in between or "statt" in between:
        return False
    if _FOUND & set(before_first):
        return False
    return bool(_FOUND & set(between + after_second))


def _value(text: str, vocabulary: Vocabulary) -> int | None:
    if _NUMBER.fullmatch(text):
        return int(text)
    number = vocabulary.numbers.get(text)
    return int(number) if number else None
