"""Put the words of a text as the names of a site are written: compounds, abbreviations, words heard wrongly."""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence

from diag.words.cleaning import Word
from diag.words.name_words import (
    INITIALS,
    JOINED,
    NEVER_WHOLE,
    PASSED_OVER,
    SOUNDS,
    WHOLES,
    canonical,
    is_head,
    is_name_word,
    parted_compound,
    translated,
)
from diag.words.site_names import SiteNames
from diag.words.spelling import nearest_word

_NUMBER_WORDS = frozenset({"no", "nr", "num", "n"})
_VOWELS = frozenset("aeiouy")
_SHORTEST_CUT = 3
"""Letters that the beginning of a word needs to stand for it, as `arch` for `archive`."""
_SHORTEST_RUN, _SHORTEST_HALF = 5, 3
_UNITS = frozenset({"mm", "cm", "ms", "kw", "hr", "hrs", "min", "mins", "sec", "secs", "rh", "ppm", "plc", "pcb", "nd"})


def as_names_are_written(words: Sequence[Word], names: SiteNames, known: Container[str]) -> tuple[Word, ...]:
    """Return the words with `Eckfenster` as two, `roof light` as one, `nr. 3` without its dot, `rm` as `room`."""
    plain = tuple(_parted(_joined(_without_dots(words)), names, known))
    return tuple(_written_out(plain, at, names, known) for at in range(len(plain)))


def _without_dots(words: Sequence[Word]) -> list[Word]:
    kept = [word for at, word in enumerate(words) if not (_is_numbering(words, at) or _is_numbering(words, at - 1))]
    return [word for at, word in enumerate(kept) if not _is_dot_of_initial(kept, at)]


def _is_numbering(words: Sequence[Word], at: int) -> bool:
    """Tell whether `nr.` or `n.` stands here and a number behind it."""
    texts = [word.text for word in words[max(at, 0) : at + 3]]
    return at >= 0 and len(texts) == 3 and texts[0] in _NUMBER_WORDS and texts[1] == "." and texts[2].isdigit()


def _is_dot_of_initial(words: Sequence[Word], at: int) -> bool:
    """Tell whether this is the dot of `N. window`."""
    is_between = 0 < at < len(words) - 1 and words[at].text == "."
    return is_between and words[at - 1].text in INITIALS and is_head(words[at + 1].text)


def _joined(words: Sequence[Word]) -> Iterator[Word]:
    at = 0
    while at < len(words):
        joined = words[at].text + (words[at + 1].text if at + 1 < len(words) else "")
        if joined in JOINED and joined != words[at].text:
            yield Word(joined, words[at].start, words[at + 1].end)
            at += 1
        else:
            yield words[at]
        at += 1


def _parted(words: Iterator[Word], names: SiteNames, known: Container[str]) -> Iterator[Word]:
    for word in words:
        halves = parted_compound(word.text, names.vocabulary)
        if len(halves) == 1 or translated(halves[0]) not in names.vocabulary:
            halves = (word.text,) if word.text in known else _run_together(word.text, names)
        yield from (Word(half, word.start, word.end) for half in halves)


def _run_together(text: str, names: SiteNames) -> tuple[str, ...]:
    """Return the two words of names that ran together, one of them with a slip at most; else the word itself."""
    if len(text) < _SHORTEST_RUN or not text.isalpha() or _is_name(text, names):
        return (text,)
    if nearest_word(text, names.spellings):
        return (text,)
    pairs = [(text[:cut], text[cut:]) for cut in range(2, len(text) - 2)]
    for one, other in pairs:
        if _fits(one, names) and _fits(other, names):
            return one, other
    for one, other in pairs:
        mended = _mended_pair(one, other, names)
        if mended:
            return mended
    return (text,)


def _mended_pair(one: str, other: str, names: SiteNames) -> tuple[str, str] | None:
    """Return both halves when one is a word of names and the other nearly so."""
    if len(one) < _SHORTEST_HALF or len(other) < _SHORTEST_HALF:
        return None
    if _is_name(one, names):
        meant = nearest_word(other, names.spellings)
        return (one, meant) if meant else None
    meant = nearest_word(one, names.spellings) if _is_name(other, names) else None
    return (meant, other) if meant else None


def _is_name(text: str, names: SiteNames) -> bool:
    return len(text) >= _SHORTEST_HALF and (is_head(text) or translated(text) in names.vocabulary)


def _fits(text: str, names: SiteNames) -> bool:
    return text in PASSED_OVER or _is_name(text, names)


def _written_out(words: Sequence[Word], at: int, names: SiteNames, known: Container[str]) -> Word:
    """Return the word of a name that was cut short or heard wrongly, where words of names stand beside it."""
    word = words[at]
    if word.text in names.vocabulary or not word.text.isalpha() or not _stands_in_a_name(words, at, names):
        return word
    meant = SOUNDS.get(word.text)
    if meant in names.vocabulary and _goes_on(words, at, names):
        return Word(meant, word.start, word.end)
    whole = None if word.text in known else _whole_word(word.text, names)
    return Word(whole, word.start, word.end) if whole else word


def _whole_word(text: str, names: SiteNames) -> str | None:
    """Return the only word of this site's names that was cut short, or left without vowels."""
    if is_name_word(text) or text in PASSED_OVER or text in _UNITS:
        return None
    found = [word for word in names.vocabulary if len(word) > len(text) and _is_cut(text, word)]
    return found[0] if len(found) == 1 else None


def _is_cut(text: str, word: str) -> bool:
    if len(text) >= _SHORTEST_CUT and word.startswith(text):
        return True
    if len(text) < 2 or text[0] != word[0] or _VOWELS & set(text):
        return False
    letters = iter(word)
    return all(letter in letters for letter in text)


def _stands_in_a_name(words: Sequence[Word], at: int, names: SiteNames) -> bool:
    return any(_is_of_a_name(words, beside, names) for beside in (at - 1, at + 1))


def _goes_on(words: Sequence[Word], at: int, names: SiteNames) -> bool:
    """Tell whether a name goes on behind, so that what was heard may be its beginning."""
    if words[at].text in WHOLES and at + 1 < len(words):
        return canonical(words[at + 1].text) in NEVER_WHOLE
    return _is_of_a_name(words, at + 1, names)


def _is_of_a_name(words: Sequence[Word], at: int, names: SiteNames) -> bool:
    if not 0 <= at < len(words) or words[at].is_mark or words[at].text in PASSED_OVER or words[at].text.isdigit():
        return False
    text = words[at].text
    is_cut = text.isalpha() and not _VOWELS & set(text) and _whole_word(text, names) is not None
    return is_head(text) or translated(text) in names.vocabulary or is_cut
