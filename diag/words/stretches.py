"""Walk the words of a text that can belong to names of a site."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from diag.words.cleaning import Word
from diag.words.name_words import CARDINALS, INITIALS, ORDINALS, PASSED_OVER, WEAK, is_head, translated
from diag.words.site_names import SiteNames

ONES = frozenset({"one", "ones", "un", "ene", "lot"})
"""These point at a part that was or will be told."""
_LEADING_ON = frozenset({
    "for", "to", "from", "fur", "zu", "zum", "zur", "beim", "inside", "over", "above", "uber",
})  # fmt: skip


def stretch_of_names(words: Sequence[Word], index: int, names: SiteNames) -> Iterator[int]:
    """Yield the places of words from here on that belong to names of this site."""
    at, heads, before = index, 0, ""
    while at < len(words) and not words[at].is_mark:
        text = words[at].text
        if text in ONES and _is_pointing(words, index, at, before):
            heads += 1
        elif text in CARDINALS or text.isdigit():
            if not (is_head(before) or (heads and words[at - 1].text == before) or _is_before_head(words, index, at)):
                return
        elif not _can_be_named(words, at, names):
            return
        heads += is_head(text)
        before = text
        yield at
        at = _next_of_stretch(words, at + 1, names)


def _is_pointing(words: Sequence[Word], index: int, at: int, before: str) -> bool:
    """Tell whether `one` stands for what is meant, as in `the left one in the north room`."""
    after = text_at(words, at + 1)
    return at > index and after in PASSED_OVER and not is_head(before)


def _is_before_head(words: Sequence[Word], index: int, at: int) -> bool:
    """Tell whether the number says which one, as in `south 2 window` and not in `south 2 windows`."""
    after = text_at(words, at + 1)
    return at > index and is_head(after) and not after.endswith("s")


def _can_be_named(words: Sequence[Word], at: int, names: SiteNames) -> bool:
    text = words[at].text
    return plain_word(words, at, names) in names.vocabulary or is_head(text) or text in ORDINALS


def _next_of_stretch(words: Sequence[Word], at: int, names: SiteNames) -> int:
    """Return the next place that counts, past `for` and the like where a name goes on behind them."""
    following = next_word(words, at, names)
    if following < len(words) and words[following].text in _LEADING_ON:
        behind = next_word(words, following + 1, names)
        if behind < len(words) and _can_be_named(words, behind, names):
            return behind
    return following


def next_word(words: Sequence[Word], at: int, names: SiteNames) -> int:
    """Return the next place whose word counts in a name; the length of the text when there is none."""
    while at < len(words) and (words[at].text in PASSED_OVER or is_weak(words[at].text, names)):
        at += 1
    return at


def is_weak(text: str, names: SiteNames) -> bool:
    """Tell whether the word is passed over inside names of this site."""
    return text in WEAK and text not in names.vocabulary


def plain_word(words: Sequence[Word], at: int, names: SiteNames) -> str:
    """Return the word as names hold it: digits for numbers, English for sides and places, whole words for initials."""
    text = words[at].text
    if text in INITIALS and at + 1 < len(words) and can_follow(words[at + 1].text, names):
        return INITIALS[text]
    plain = translated(text)
    return ORDINALS.get(plain) or CARDINALS.get(text) or plain


def can_follow(text: str, names: SiteNames) -> bool:
    """Tell whether a name can go on with the word."""
    return is_head(text) or translated(text) in names.vocabulary


def text_at(words: Sequence[Word], at: int) -> str:
    """Return the word at a place, or nothing behind the end."""
    return words[at].text if at < len(words) else ""
