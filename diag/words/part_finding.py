"""Find the parts of a site that a text names, and the stretches that could mean several."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from diag.words.cleaning import Word
from diag.words.name_words import (
    CARDINALS,
    INITIALS,
    ORDINALS,
    PASSED_OVER,
    WEAK,
    canonical,
    is_head,
    parted_compound,
    translated,
)
from diag.words.site_names import Name, SiteNames, is_quiet

LONGEST_ID = 3
"""How many words an id may have been split into."""
MANY = 12
"""A stretch that could mean more parts than this is not worth asking about."""

_ONES = frozenset({"one", "ones", "un", "ene", "lot"})
_SIDED = {"ones": ("zone",), "lot": ("zone",)}


@dataclass(frozen=True, slots=True)
class NamedPart:
    """A stretch of words that names one part, or could name several."""

    parts: tuple[str, ...]
    first: int
    last: int
    is_exact: bool


def part_compounds(words: Sequence[Word], names: SiteNames) -> tuple[Word, ...]:
    """Return the words with `Eckfenster` as two, where the site has a name with its first half."""
    parted: list[Word] = []
    for word in words:
        halves = parted_compound(word.text)
        if len(halves) == 1 or translated(halves[0]) not in names.vocabulary:
            parted.append(word)
        else:
            parted += [Word(half, word.start, word.end) for half in halves]
    return tuple(parted)


def find_parts(words: Sequence[Word], names: SiteNames) -> tuple[NamedPart, ...]:
    """Return the stretches that name parts, in order; longest names first, nothing named twice."""
    found: list[NamedPart] = []
    index = 0
    while index < len(words):
        ways = (_by_name, _by_id, _by_some_words, _by_side, _by_kind_and_number)
        named = next(filter(None, (way(words, index, names) for way in ways)), None)
        if named:
            found.append(named)
        index = named.last + 1 if named else index + 1
    return tuple(found)


def _by_name(words: Sequence[Word], index: int, names: SiteNames) -> NamedPart | None:
    """Return the part whose longest full name starts here."""
    best: NamedPart | None = None
    for name in names.by_first.get(_plain(words, index, names), ()):
        last = _full_name_end(words, index, name, names)
        if last is not None and (best is None or last > best.last):
            best = NamedPart(_same_name(name, names), index, last, is_exact=True)
    return best if best and not _is_cut_short(words, best, names) else None


def _full_name_end(words: Sequence[Word], index: int, name: Name, names: SiteNames) -> int | None:
    at = index
    for wanted in name.words[1:]:
        at = _next_word(words, at + 1, names)
        if at >= len(words) or _plain(words, at, names) != wanted:
            return None
    return at


def _is_cut_short(words: Sequence[Word], named: NamedPart, names: SiteNames) -> bool:
    """Tell whether more words of a name follow that make it another part, as in `windows` for `windows 2`."""
    after = _next_word(words, named.last + 1, names)
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
        said = frozenset(canonical(_plain(words, at, names)) for at in stretch)
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
            if not (after_head or (at > index and _is_one_head(words, at + 1))):
                return
        elif _plain(words, at, names) not in names.vocabulary and not is_head(text) and text not in ORDINALS:
            return
        after_head = is_head(text)
        yield at
        at = _next_word(words, at + 1, names)


def _is_one_head(words: Sequence[Word], at: int) -> bool:
    """Tell whether the word says what kind one part is, as in `south 2 window` and not in `south 2 windows`."""
    return at < len(words) and is_head(words[at].text) and not words[at].text.endswith("s")


def _by_side(words: Sequence[Word], index: int, names: SiteNames) -> NamedPart | None:
    """Return what `the north one` or `the street side` can mean: the only such opening, or else the only such zone."""
    last = _next_word(words, index + 1, names) - 1
    after = words[last + 1].text if last + 1 < len(words) else ""
    is_pointed_at = after in _ONES or (last > index and _is_weak(words[last].text, names))
    said = canonical(_plain(words, index, names))
    is_introduced = index > 0 and words[index - 1].text in PASSED_OVER
    if not (is_pointed_at and is_introduced) or words[index].is_mark or is_head(words[index].text):
        return None
    alike = {name.part for name in names.names if said in name.canon}
    for kind in _SIDED.get(after, ("opening", "zone")):
        parts = tuple(sorted(part for part in alike if names.kinds[part] == kind))
        if len(parts) == 1:
            return NamedPart(parts, index, last + (after in _ONES), is_exact=False)
    return None


def _by_kind_and_number(words: Sequence[Word], index: int, names: SiteNames) -> NamedPart | None:
    """Return the part whose id is its kind and a number, as `d7` is drive 7, when no name says so."""
    at = _next_word(words, index + 1, names)
    if not is_head(words[index].text) or at >= len(words):
        return None
    part = names.numbered.get((canonical(words[index].text), _plain(words, at, names)))
    return NamedPart((part,), index, at, is_exact=False) if part else None


def _candidates(said: frozenset[str], heads: set[str], names: SiteNames) -> tuple[str, ...]:
    meant = [name for name in names.names if name.head in heads and not is_quiet(names.kinds[name.part])]
    exact = {name.part for name in meant if said <= name.canon}
    if exact:
        return tuple(sorted(exact))
    nearby = {name.part for name in meant if said <= name.canon | names.around[name.part]}
    return tuple(sorted(nearby))


def _next_word(words: Sequence[Word], at: int, names: SiteNames) -> int:
    while at < len(words) and (words[at].text in PASSED_OVER or _is_weak(words[at].text, names)):
        at += 1
    return at


def _is_weak(text: str, names: SiteNames) -> bool:
    return text in WEAK and text not in names.vocabulary


def _plain(words: Sequence[Word], at: int, names: SiteNames) -> str:
    """Return the word as names hold it: digits for numbers, English for sides and places, whole words for initials."""
    text = words[at].text
    if text in INITIALS and at + 1 < len(words) and _can_follow(words[at + 1].text, names):
        return INITIALS[text]
    return ORDINALS.get(text) or CARDINALS.get(text) or translated(text)


def _can_follow(text: str, names: SiteNames) -> bool:
    return is_head(text) or translated(text) in names.vocabulary
