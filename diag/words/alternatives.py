"""Offer, for what was understood, what else may have been meant: the whole text with other words in that place."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import islice

from diag.words.cleaning import split_words
from diag.words.ideas import Mention
from diag.words.name_slips import as_names_are_written
from diag.words.part_finding import find_parts
from diag.words.reading import Reading
from diag.words.roles import REACH
from diag.words.site_names import SiteNames
from diag.words.understood import Alternative
from diag.words.vocabulary import verb_forms

MOST = 4
_NOT_ENGLISH = frozenset({
    "der", "die", "das", "nicht", "und", "ist", "beim", "ich", "ein", "eine", "kein", "keine", "zu", "auf", "bei",
    "ikke", "og", "det", "den", "er", "nar", "pa", "jeg", "af", "en", "et",
})  # fmt: skip
"""Little words of German and Danish: among them English words would be out of place."""
ACTS = ("open", "close", "move", "stop")
_AFTER_LITTLE_WORDS = frozenset({"rain", "wind", "hot", "cold", "power-cut", "building-work"})
"""Of these the last word is exchanged, as in `in the cold`."""
_HAPPENING = {"open": "opens", "close": "closes"}
Instead = Sequence[Mapping[str, str]]
"""Groups of ideas that are easily taken for one another, with the words for each."""
Says = Callable[[str], str]
"""What an idea is called when it is shown."""


def other_ideas(
    text: str, reading: Reading, index: int, idea: str, instead: Instead, says: Says
) -> tuple[Alternative, ...]:
    """Return what else the mention at `index`, taken for `idea`, may have meant."""
    start, end = span(reading, reading.mentions[index])
    if any(word.text in _NOT_ENGLISH for word in reading.words):
        return ()
    if act_of(idea):
        offers = _other_acts(text, reading, index, idea)
    else:
        start = reading.words[reading.mentions[index].last].start if idea in _AFTER_LITTLE_WORDS else start
        offers = ((other, start, words) for other, words in _siblings(idea, instead))
    texts = {says(other): text[:at] + words + text[end:] for other, at, words in offers}
    return tuple(Alternative(meaning, changed) for meaning, changed in texts.items())[:MOST]


def other_parts(text: str, start: int, end: int, parts: Sequence[str], names: SiteNames) -> tuple[Alternative, ...]:
    """Return the parts that may be meant: those the words could name, or else the likest of the same kind."""
    likely = parts if len(parts) > 1 else _alike(parts[0], names)
    meant = (names.given[part] for part in likely if _names_only(part, names))
    return tuple(Alternative(name, text[:start] + name + text[end:]) for name in islice(meant, MOST))


def act_of(idea: str) -> str | None:
    """Return the act of `no-close`, `asked-close` or `closes`; None for what is no act that can be exchanged."""
    act = idea.removeprefix("no-").removeprefix("asked-")
    return next((it for it in ACTS if act in (it, _HAPPENING.get(it))), None)


def span(reading: Reading, mention: Mention) -> tuple[int, int]:
    """Return where the words of a mention start and end in the text."""
    return reading.words[mention.first].start, reading.words[mention.last].end


def _siblings(idea: str, instead: Instead) -> Iterator[tuple[str, str]]:
    for group in instead:
        if idea in group:
            yield from ((other, words) for other, words in group.items() if other != idea)


def _other_acts(text: str, reading: Reading, index: int, idea: str) -> Iterator[tuple[str, int, str]]:
    """Yield the same with another act; and for what was denied, that it does happen."""
    start, end = span(reading, reading.mentions[index])
    act, prefix = act_of(idea), idea.partition("-")[0]
    denied = _denial(reading, index) if prefix == "no" else None
    lead = "does not " if prefix == "no" and denied is None else ""
    for other in ACTS:
        if other != act and (prefix, other) != ("asked", "move"):
            yield _same(prefix, other), start, lead + _in_form("" if lead else text[start:end], other)
    if prefix == "no" and act:
        at = start if denied is None else span(reading, reading.mentions[denied])[0]
        yield _same("", act), at, verb_forms(act)[1]


def _same(prefix: str, act: str) -> str:
    """Return the idea of an act that is denied or asked for as before."""
    return f"{prefix}-{act}" if prefix in ("no", "asked") else _HAPPENING.get(act, act)


def _in_form(typed: str, act: str) -> str:
    """Return the act in the form of the typed word: closing, closes, close."""
    forms = verb_forms(act)
    if typed.lower().endswith("ing"):
        return next(form for form in forms if form.endswith("ing"))
    return forms[1] if typed.lower().endswith("s") else forms[0]


def _denial(reading: Reading, index: int) -> int | None:
    """Return the place of the nearest denial before a mention."""
    places = range(index - 1, max(index - 1 - REACH, -1), -1)
    return next((at for at in places if reading.mentions[at].has("neg")), None)


def _alike(part: str, names: SiteNames) -> list[str]:
    """Return the other parts of the kind, those that share most of the name first; a place tells more than a number."""
    own = _words(part, names)
    others = [other for other, kind in names.kinds.items() if kind == names.kinds[part] and other != part]
    shared = {other: own & _words(other, names) for other in others}
    return sorted(others, key=lambda it: (-len([word for word in shared[it] if word.isalpha()]), -len(shared[it]), it))


def _words(part: str, names: SiteNames) -> frozenset[str]:
    return frozenset().union(*(name.canon for name in names.names if name.part == part))


def _names_only(part: str, names: SiteNames) -> bool:
    """Tell whether the part's name, typed, is read as this part and no other."""
    words = as_names_are_written(split_words(names.given[part]), names, frozenset())
    return [found.parts for found in find_parts(words, names)] == [(part,)]
