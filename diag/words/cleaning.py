"""Turn typed text into plain words that remember where they stood."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

MAX_CHARACTERS = 600
"""Nobody describes a fault in more; what follows is left unread and said to be."""

_APOSTROPHE = "['’\u2018`\u00b4]"
_LETTERS = r"[^\W\d_]+"
_TOKEN = re.compile(
    rf"[0-9]+(?:st|nd|rd|th)\b|[0-9]+(?:[.,:][0-9]+)?(?:{_APOSTROPHE}s\b)?|{_LETTERS}(?:{_APOSTROPHE}{_LETTERS})*|[.,;!?\n]"
)
_SPECIAL = str.maketrans({"ß": "ss", "ø": "o", "æ": "ae", "ł": "l", "đ": "d", "œ": "oe", "–": "-", "—": "-"})
_APOSTROPHES = re.compile(_APOSTROPHE)
_KEPT_WITH_S = frozenset({"it", "that", "what", "there", "here", "he", "she", "let", "who"})
BREAKS = frozenset({".", ";", "!", "?", "\n"})
COMMA = ","


@dataclass(frozen=True, slots=True)
class Word:
    """One word or mark of the text: folded spelling, and where it stood."""

    text: str
    start: int
    end: int

    @property
    def is_mark(self) -> bool:
        """Tell whether it is punctuation rather than a word or number."""
        return not self.text[0].isalnum()


def clean_text(text: str) -> tuple[str, str | None]:
    """Return the text normalised, without control and direction marks; and a note when it was cut."""
    kept = "".join(map(_plain, unicodedata.normalize("NFC", text[: MAX_CHARACTERS * 4])))
    kept = re.sub(r"[ \t]+", " ", kept).strip()
    if len(kept) <= MAX_CHARACTERS and len(text) <= MAX_CHARACTERS * 4:
        return kept, None
    return kept[:MAX_CHARACTERS], f"Only the first {MAX_CHARACTERS} characters were read."


def split_words(text: str) -> tuple[Word, ...]:
    """Return words, numbers and sentence marks in order, in small letters without accents or apostrophes."""
    words: list[Word] = []
    for match in _TOKEN.finditer(text):
        folded = fold(match.group())
        if folded and (folded[0].isalnum() or folded in BREAKS or folded == COMMA):
            words.append(Word(folded, match.start(), match.end()))
    return _rejoin_contractions(words)


def fold(word: str) -> str:
    """Return the word in small letters, without accents and apostrophes; a possessive loses its s."""
    lower = word.lower().translate(_SPECIAL)
    stem, *ending = _APOSTROPHES.split(lower)
    if ending == ["s"] and stem not in _KEPT_WITH_S:
        lower = stem
    return _without_accents(_APOSTROPHES.sub("", lower) or lower)


def fold_all(text: str) -> str:
    """Return a whole text in small letters and without accents, apostrophes kept."""
    return _without_accents(text.lower().translate(_SPECIAL))


def stem(word: str) -> str:
    """Return the word without a common English ending, so that `jumps` and `jumping` count as one."""
    for ending in ("ing", "ed", "es", "s"):
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            return word[: -len(ending)]
    return word


def _without_accents(lower: str) -> str:
    if lower.isascii():
        return lower
    apart = unicodedata.normalize("NFD", lower)
    return "".join(letter for letter in apart if not unicodedata.combining(letter))


def _plain(letter: str) -> str:
    if letter == "\n":
        return letter
    category = unicodedata.category(letter)
    if category in ("Cf", "Cs", "Co", "Cn"):
        return ""
    return " " if category in ("Cc", "Zl", "Zp", "Zs") else letter


def _rejoin_contractions(words: list[Word]) -> tuple[Word, ...]:
    """Join `won t` and `it s`, as dictation and careless keyboards leave them."""
    joined: list[Word] = []
    for word in words:
        before = joined[-1] if joined else None
        if word.text == "t" and before and before.text.endswith("n") and before.end < word.start + 1:
            joined[-1] = Word(before.text + "t", before.start, word.end)
        else:
            joined.append(word)
    return tuple(joined)
