"""Read a cleaned text: words mended, parts found, ideas and who did what."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from diag.words.cleaning import Word, split_words, stem
from diag.words.counting import compared_numbers
from diag.words.ideas import Mention, find_ideas
from diag.words.name_slips import as_names_are_written
from diag.words.part_finding import NamedPart, find_parts
from diag.words.roles import Features, resolve_roles
from diag.words.site_names import SiteNames
from diag.words.spelling import Correction, mend_words
from diag.words.verdicts import with_verdicts
from diag.words.vocabulary import Vocabulary
from knowledge.lexicon import Concept

COUNTED = frozenset({"discovery", "addressable", "drive", "find", "no-find", "fewer", "more", "zero"})
"""Only where one of these is spoken of are two numbers compared."""

SHORTEST_UNKNOWN = 4
"""Shorter words are too often slips to count as unknown."""
OF_OTHER_MATTERS = frozenset({"elsewhere", "foreign"})
"""Ideas that tell what a text is not about, and nothing of what it means."""


@dataclass(frozen=True, slots=True)
class Reading:
    """A text taken apart: `features` holds what each mention means in this sentence, `ideas` all of it."""

    words: tuple[Word, ...]
    corrections: tuple[Correction, ...]
    named: tuple[NamedPart, ...]
    mentions: tuple[Mention, ...]
    features: Features
    ideas: frozenset[str]


def read_words(
    text: str, vocabulary: Vocabulary, concepts: Mapping[str, Concept], names: SiteNames | None = None
) -> Reading:
    """Return what a text says, slips mended; parts are found when the names of a site are given."""
    typed = split_words(text)
    if names:
        typed = as_names_are_written(typed, names, vocabulary.known)
    words, corrections = mend_words(typed, vocabulary, names.spellings if names else None)
    named = find_parts(words, names) if names else ()
    return _read(words, corrections, named, vocabulary, concepts, names)


def read_phrase(phrase: str, vocabulary: Vocabulary, concepts: Mapping[str, Concept]) -> Reading:
    """Return what a phrase of the knowledge base says; it is taken to be spelt right and names no parts."""
    return _read(split_words(phrase), (), (), vocabulary, concepts, None)


def with_bare_words(reading: Reading, vocabulary: Vocabulary) -> frozenset[str]:
    """Return the ideas, and the words that carry none, marked as words."""
    covered = {at for mention in reading.mentions for at in range(mention.first, mention.last + 1)}
    bare = {
        f"word {stem(it.text)}"
        for at, it in enumerate(reading.words)
        if at not in covered and it.text not in vocabulary.skippable
    }
    return reading.ideas | bare


def begins_unknown(reading: Reading, vocabulary: Vocabulary, concepts: Mapping[str, Concept]) -> bool:
    """Tell whether a word that nobody knows stands before all that happens, where people say what they speak of."""
    told = zip(reading.mentions, reading.features, strict=False)
    happens = (mention.first for mention, ideas in told if any(_happens(idea, concepts) for idea in ideas))
    covered = {at for mention in reading.mentions for at in range(mention.first, mention.last + 1)}
    return any(
        at not in covered and _is_unknown(reading.words[at].text, vocabulary)
        for at in range(next(happens, len(reading.words)))
    )


def _happens(idea: str, concepts: Mapping[str, Concept]) -> bool:
    return idea not in concepts or concepts[idea].role in ("act", "happened")


def _is_unknown(text: str, vocabulary: Vocabulary) -> bool:
    return len(text) >= SHORTEST_UNKNOWN and text.isalpha() and text not in vocabulary.known


def plain_words(reading: Reading, concepts: Mapping[str, Concept], start: int = 0, end: int | None = None) -> list[str]:
    """Return the words from `start` up to `end`, each named part told by what it is, as in `roof vent` for `rv2`."""
    parts = {mention.first: mention for mention in reading.mentions if mention.parts}
    plain: list[str] = []
    at, stop = start, len(reading.words) if end is None else end
    while at < stop:
        if at in parts:
            plain += concepts[parts[at].ideas[0]].says.split()
            at = parts[at].last
        elif not reading.words[at].is_mark:
            plain.append(reading.words[at].text)
        at += 1
    return plain


def _read(
    words: tuple[Word, ...],
    corrections: tuple[Correction, ...],
    named: tuple[NamedPart, ...],
    vocabulary: Vocabulary,
    concepts: Mapping[str, Concept],
    names: SiteNames | None,
) -> Reading:
    mentions = tuple(_mentions(words, named, vocabulary, names))
    features = with_verdicts(mentions, resolve_roles(mentions, concepts))
    ideas: frozenset[str] = frozenset().union(*features)
    counted = compared_numbers([word.text for word in words], vocabulary) if ideas & COUNTED else None
    if counted:
        features, ideas = (*features, frozenset({counted})), ideas | {counted}
    return Reading(words, corrections, named, mentions, features, ideas)


def _mentions(
    words: Sequence[Word], named: Sequence[NamedPart], vocabulary: Vocabulary, names: SiteNames | None
) -> Iterator[Mention]:
    """Yield the ideas between the named parts, and a mention for each of those."""
    at = 0
    for it in named if names else ():
        yield from _moved(find_ideas(words[at : it.first], vocabulary), at)
        idea = names.part_ideas[it.parts[0]] if names else "neutral"
        yield Mention((idea,), it.first, it.last, parts=it.parts)
        at = it.last + 1
    yield from _moved(find_ideas(words[at:], vocabulary), at)


def _moved(mentions: Sequence[Mention], by: int) -> Iterator[Mention]:
    for mention in mentions:
        yield replace(mention, first=mention.first + by, last=mention.last + by) if by else mention
