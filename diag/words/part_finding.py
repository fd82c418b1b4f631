"""Find the parts of a site that a text names, and the stretches that could mean several."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from diag.words.cleaning import Word
from diag.words.site_names import (
    CARDINALS,
    ORDINALS,
    PASSED_OVER,
    Name,
    SiteNames,
    canonical,
    is_head,
    is_quiet,
)

LONGEST_ID = 3
"""How many words an id may have been split into."""
MANY = 12
"""A stretch that could mean more parts than this is not worth asking about."""


@dataclass(frozen=True, slots=True)
class NamedPart:
    """A stretch of words that names one part, or could name several."""

    parts: tuple[str, ...]
    first: int
    last: int
    is_exact: bool


def find_parts(words: Sequence[Word], names: SiteNames) -> tuple[NamedPart, ...]:
    """Return the stretches that name parts, in order; longest names first, nothing named twice."""
    found: list[NamedPart] = []
    index = 0
    while index < len(words):
        named = _by_name(words, index, names) or _by_id(words, index, names) or _by_some_words(words, index, names)
        if named:
            found.append(named)
        index = named.last + 1 if named else index + 1
    return tuple(found)


def _by_name(words: Sequence[Word], index: int, names: SiteNames) -> NamedPart | None:
    """Return the part whose longest full name starts here."""
    best: NamedPart | None = None
    for name in names.by_first.get(_number(words[index].text), ()):
        last = _full_name_end(words, index, name)
        if last is not None and (best is None or last > best.last):
            best = NamedPart(_same_name(name, names), index, last, is_exact=True)
    return best if best and not _is_cut_short(words, best, names) else None


def _full_name_end(words: Sequence[Word], index: int, name: Name) -> int | None:
    at = index
    for wanted in name.words[1:]:
        at = _next_word(words, at + 1)
        if at >= len(words) or _number(words[at].text) != wanted:
            return None
    return at


def _is_cut_short(words: Sequence[Word], named: NamedPart, names: SiteNames) -> bool:
    """Tell whether more words of a name follow that make it another part, as in `windows` for `windows 2`."""
    after = _next_word(words, named.last + 1)
    if after >= len(words):
        return False
    following = canonical(words[after].text)
    return is_head(words[after].text) and any(
        following == name.head and {canonical(word.text) for word in words[named.first : named.last + 1]} <= name.canon
        for name in names.names
    )


def _same_name(name: Name, names: SiteNames) -> tuple[str, ...]:
    return tuple(sorted({other.part for other in names.by_first[name.words[0]] if other.words == name.words}))


def _by_id(words: Sequence[Word], index: int, names: SiteNames) -> NamedPart | None:
    joined = ""
    best: NamedPart | None = None
    for at in range(index, min(index + LONGEST_ID, len(words))):
        joined += words[at].text
        if joined in names.ids:
            best = NamedPart((names.ids[joined],), index, at, is_exact=True)
    return best


def _by_some_words(words: Sequence[Word], index: int, names: SiteNames) -> NamedPart | None:
    """Return what a stretch such as `north vent` or `vent by the stairs` can mean."""
    stretch = list(_stretch(words, index, names))
    while stretch:
        said = frozenset(canonical(_number(words[at].text)) for at in stretch)
        heads = {canonical(words[at].text) for at in stretch if is_head(words[at].text)}
        parts = _candidates(said, heads, names) if heads else ()
        if parts and (len(said) > len(heads) or len(parts) == 1) and len(parts) <= MANY:
            return NamedPart(parts, index, stretch[-1], is_exact=False)
        stretch.pop()
    return None


def _stretch(words: Sequence[Word], index: int, names: SiteNames) -> Iterator[int]:
    """Yield the places of words from here on that belong to names of this site."""
    at = index
    after_head = False
    while at < len(words) and not words[at].is_mark:
        text = words[at].text
        if text in CARDINALS or text.isdigit():
            if not after_head:
                return
        elif text not in names.vocabulary and not is_head(text) and text not in ORDINALS:
            return
        after_head = is_head(text)
        yield at
        at = _next_word(words, at + 1)


def _candidates(said: frozenset[str], heads: set[str], names: SiteNames) -> tuple[str, ...]:
    meant = [name for name in names.names if name.head in heads and not is_quiet(names.kinds[name.part])]
    exact = {name.part for name in meant if said <= name.canon}
    if exact:
        return tuple(sorted(exact))
    nearby = {name.part for name in meant if said <= name.canon | names.around[name.part]}
    return tuple(sorted(nearby))


def _next_word(words: Sequence[Word], at: int) -> int:
    while at < len(words) and words[at].text in PASSED_OVER:
        at += 1
    return at


def _number(text: str) -> str:
    return ORDINALS.get(text) or CARDINALS.get(text) or text
