"""Find the parts of a site that a text names, and the stretches that could mean several."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from diag.words.cleaning import Word
from diag.words.name_words import ANY_OPENING, CARDINALS, ORDINALS, PASSED_OVER, canonical, is_head, translated
from diag.words.site_names import Name, SiteNames, is_quiet
from diag.words.stretches import ONES, can_follow, is_weak, next_word, plain_word, stretch_of_names, text_at

LONGEST_ID = 3
"""How many words an id may have been split into."""
MANY = 12
"""A stretch that could mean more parts than this is not worth asking about."""

_OPENINGS = frozenset({"window", "vent", "damper", "louvre"})
_COUNTING = frozenset({
    "of", "are", "were", "have", "do", "dont", "pm", "am", "hours", "hour", "minutes", "min", "days", "weeks", "times",
    "mm", "cm", "m", "v", "a", "degrees", "percent", "clock", "sind", "er", "stuck", "others", "more",
})  # fmt: skip
"""After a number these say that it counts or measures."""
_SIDED = {"ones": ("zone",), "lot": ("zone",)}


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
        named = _longer(_by_name(words, index, names), _by_some_words(words, index, names), names)
        ways = (_by_id, _by_side, _by_ordinal_and_kind, _by_kind_and_number, _by_place_and_number)
        if not named or not named.is_exact:
            named = _by_id(words, index, names) or _by_head_and_number(words, index, names) or named
        if named and len(named.parts) > 1:
            named = _by_ordinal_and_kind(words, index, names) or named
        named = named or next(filter(None, (way(words, index, names) for way in ways)), None)
        if named and not _is_of_other_kind(named, found, words, names):
            found.append(named)
        index = named.last + 1 if named else index + 1
    return tuple(found)


def _is_of_other_kind(named: NamedPart, before: Sequence[NamedPart], words: Sequence[Word], names: SiteNames) -> bool:
    """Tell whether `the right one` follows a full name of another kind, so that it means another of that kind."""
    if named.is_exact or text_at(words, named.last) not in ONES or not before or not before[-1].is_exact:
        return False
    return {names.kinds[part] for part in named.parts}.isdisjoint(names.kinds[part] for part in before[-1].parts)


def _longer(exact: NamedPart | None, described: NamedPart | None, names: SiteNames) -> NamedPart | None:
    """Return the full name, unless it only begins a description of another kind: `south room's second window`."""
    if not exact or not described:
        return exact or described
    goes_on = described.last > exact.last and len(described.parts) == 1
    is_same_kind = names.kinds[described.parts[0]] in {names.kinds[part] for part in exact.parts}
    return described if goes_on and not is_same_kind else exact


def _by_name(words: Sequence[Word], index: int, names: SiteNames) -> NamedPart | None:
    """Return the part whose longest full name starts here."""
    best: NamedPart | None = None
    for name in names.by_first.get(canonical(plain_word(words, index, names)), ()):
        last = _full_name_end(words, index, name, names)
        if last is not None and (best is None or last > best.last):
            best = NamedPart(_same_name(name, names), index, last, is_exact=True)
    return best if best and not _is_cut_short(words, best, names) else None


def _full_name_end(words: Sequence[Word], index: int, name: Name, names: SiteNames) -> int | None:
    if not _is_said(name.words[0], plain_word(words, index, names), name):
        return None
    at = index
    for wanted in name.words[1:]:
        at = next_word(words, at + 1, names)
        if at >= len(words) or not _is_said(wanted, plain_word(words, at, names), name):
            return None
    return at


def _is_said(wanted: str, said: str, name: Name) -> bool:
    """Tell whether the word is that of the name, or in a longer name another for the same kind, as motor for drive."""
    if wanted == said or len(name.words) == 1:
        return wanted == said
    is_same_number = wanted.endswith("s") == said.endswith("s")
    return is_head(wanted) and is_same_number and canonical(wanted) == canonical(said)


def _is_cut_short(words: Sequence[Word], named: NamedPart, names: SiteNames) -> bool:
    """Tell whether more words of a name follow that make it another part, as in `windows` for `windows 2`."""
    after = next_word(words, named.last + 1, names)
    if after >= len(words):
        return False
    following = canonical(words[after].text)
    return is_head(words[after].text) and any(
        following == name.head and {canonical(word.text) for word in words[named.first : named.last + 1]} <= name.canon
        for name in names.names
    )


def _same_name(name: Name, names: SiteNames) -> tuple[str, ...]:
    first = canonical(name.words[0])
    return tuple(sorted({other.part for other in names.by_first[first] if other.words == name.words}))


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
    stretch = list(stretch_of_names(words, index, names))
    while stretch:
        any_kind = {at for at in stretch if _is_any_opening(words, at)}
        said = frozenset(canonical(plain_word(words, at, names)) for at in stretch if at not in any_kind)
        heads = {canonical(words[at].text) for at in stretch if is_head(words[at].text) and at not in any_kind}
        heads |= _OPENINGS if any_kind else set()
        parts = _candidates(said, heads, names) if heads else ()
        if parts and (len(said) > len(heads) or len(parts) == 1) and len(parts) <= MANY:
            return NamedPart(parts, index, stretch[-1], is_exact=False)
        stretch.pop()
    return None


def _is_any_opening(words: Sequence[Word], at: int) -> bool:
    """Tell whether the word stands for an opening of any kind: a flap, or `one` where it is no number."""
    text = words[at].text
    return text in ANY_OPENING or (text in ONES and not (text == "one" and at > 0 and is_head(words[at - 1].text)))


def _by_head_and_number(words: Sequence[Word], index: int, names: SiteNames) -> NamedPart | None:
    """Return the part that is called by its kind and this number alone, as `channel 3` is output 3."""
    at = next_word(words, index + 1, names)
    if at >= len(words) or not is_head(words[index].text):
        return None
    said = (canonical(words[index].text), plain_word(words, at, names))
    found = {it.part for it in names.names if len(it.words) == 2 and (canonical(it.words[0]), it.words[1]) == said}
    return NamedPart((found.pop(),), index, at, is_exact=True) if said[1].isdigit() and len(found) == 1 else None


def _by_side(words: Sequence[Word], index: int, names: SiteNames) -> NamedPart | None:
    """Return what `the north one` or `the street side` can mean: the only such opening, or else the only such zone."""
    last = next_word(words, index + 1, names) - 1
    after = words[last + 1].text if last + 1 < len(words) else ""
    is_pointed_at = after in ONES or (last > index and is_weak(words[last].text, names))
    said = canonical(plain_word(words, index, names))
    is_introduced = _is_introduced(words, index)
    if not (is_pointed_at and is_introduced) or words[index].is_mark or is_head(words[index].text):
        return None
    alike = {name.part for name in names.names if said in name.canon}
    for kind in _SIDED.get(after, ("opening", "zone")):
        parts = tuple(sorted(part for part in alike if names.kinds[part] == kind))
        if len(parts) == 1:
            return NamedPart(parts, index, last + (after in ONES), is_exact=False)
    return None


def _is_introduced(words: Sequence[Word], index: int) -> bool:
    """Tell whether the words begin a thing: behind `the`, or first of all; `left` alone may be what somebody did."""
    if index == 0 or words[index - 1].is_mark:
        return words[index].text != "left"
    return words[index - 1].text in PASSED_OVER - {"i"}


def _by_kind_and_number(words: Sequence[Word], index: int, names: SiteNames) -> NamedPart | None:
    """Return the part whose id is its kind and a number, as `d7` is drive 7, when no name says so.

    A letter does the same, as `zb` is zone b.
    """
    if not is_head(words[index].text):
        return None
    for at in dict.fromkeys((index + 1, next_word(words, index + 1, names))):
        if at < len(words) and not (words[at].text == "a" and can_follow(text_at(words, at + 1), names)):
            for text in (words[at].text, plain_word(words, at, names)):
                part = names.numbered.get((canonical(words[index].text), text))
                if part:
                    return NamedPart((part,), index, at, is_exact=False)
    return None


def _by_ordinal_and_kind(words: Sequence[Word], index: int, names: SiteNames) -> NamedPart | None:
    """Return the part whose id is its kind and this number, as `second output` is output 2, when no name says so."""
    at = next_word(words, index + 1, names)
    if translated(words[index].text) not in ORDINALS or at >= len(words) or words[at].text.endswith("s"):
        return None
    part = names.numbered.get((canonical(words[at].text), plain_word(words, index, names)))
    return NamedPart((part,), index, at, is_exact=False) if part else None


def _by_place_and_number(words: Sequence[Word], index: int, names: SiteNames) -> NamedPart | None:
    """Return the only opening of a place and a number, as in `atrium 3`; no count, as in `south 2 of them`."""
    at = index + 1
    number = CARDINALS.get(text_at(words, at), text_at(words, at))
    place = plain_word(words, index, names)
    if not number.isdigit() or place not in names.vocabulary or not place.isalpha() or is_head(place):
        return None
    after = text_at(words, at + 1)
    if after in _COUNTING or is_head(after):
        return None
    found = {it.part for it in names.names if {place, number} <= it.canon and names.kinds[it.part] == "opening"}
    return NamedPart((found.pop(),), index, at, is_exact=False) if len(found) == 1 else None


def _candidates(said: frozenset[str], heads: set[str], names: SiteNames) -> tuple[str, ...]:
    meant = [
        name
        for name in names.names
        if name.head in heads and not _is_quiet_name(name, names) and (len(heads) > 1 or not name.of_opening)
    ]
    exact = {name.part for name in meant if said <= name.canon}
    if exact:
        return tuple(sorted(exact))
    nearby = {name.part for name in meant if said <= name.canon | names.around[name.part]}
    return tuple(sorted(nearby))


def _is_quiet_name(name: Name, names: SiteNames) -> bool:
    """Tell whether the name counts only when all of it is said; a cable spoken of is seldom the trunk of a link."""
    kind = names.kinds[name.part]
    return is_quiet(kind) or (kind == "link" and name.head == "cable")
