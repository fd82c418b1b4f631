"""All phrases of the lexicon, ready to be looked up by their first word."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from diag.words.cleaning import fold_all
from knowledge.lexicon import Lexicon

Phrase = tuple[tuple[str, ...], tuple[str, ...]]
_WORD = re.compile(r"[0-9]+(?:[.,:][0-9]+)?|[a-z]+")
_POSSESSIVE = re.compile(r"'s?(?=[ ,]|$)|'")
_UMLAUTS = (("ä", "ae"), ("ö", "oe"), ("ü", "ue"), ("ø", "oe"), ("å", "aa"))


@dataclass(frozen=True)
class Vocabulary:
    """Phrases by first word, longest first, and every word that is spelt right."""

    phrases: Mapping[str, tuple[Phrase, ...]]
    known: frozenset[str]
    meant: Mapping[int, tuple[str, ...]]
    """Words that a slip may have meant, by length."""
    short: Mapping[int, tuple[str, ...]]
    """Little words that a slip may have meant, by length."""
    misheard: Mapping[tuple[str, ...], tuple[str, ...]]
    skippable: frozenset[str]
    numbers: Mapping[str, str]


def build_vocabulary(lexicon: Lexicon) -> Vocabulary:
    """Return the vocabulary of a lexicon."""
    skippable = frozenset(fold_all(lexicon.skippable).split())
    spellings = _spellings(lexicon.words)
    numbers = {
        said[0]: number for number, words in lexicon.numbers.items() for said in _phrases(words) if len(said) == 1
    }
    carrying = {word for phrase in spellings for word in phrase}
    ordinary = fold_all(lexicon.ordinary).split()
    return Vocabulary(
        phrases=_by_first_word(spellings),
        known=frozenset(carrying).union(skippable, ordinary, numbers),
        meant=by_length(word for word in carrying if len(word) > 3 and not word[0].isdigit()),
        short=by_length(lexicon.short.split()),
        misheard={
            heard: _split(meant) for meant, all_heard in lexicon.misheard.items() for heard in _phrases(all_heard)
        },
        skippable=skippable,
        numbers=numbers,
    )


def _spellings(words: Mapping[str, str]) -> dict[tuple[str, ...], set[str]]:
    """Return every phrase and the ideas it carries."""
    found: dict[tuple[str, ...], set[str]] = {}
    for concept, listed in words.items():
        for phrase in _phrases(listed):
            if phrase in found:
                found[phrase].add(concept)
            else:
                found[phrase] = {concept}
    return found


def _phrases(words: str) -> Iterator[tuple[str, ...]]:
    """Yield every spelling of a comma-separated list of phrases."""
    for spelt in _umlaut_spellings(words):
        for phrase in _POSSESSIVE.sub("", fold_all(spelt)).split(","):
            if "~" in phrase or "+" in phrase:
                yield from _forms(phrase.strip())
                continue
            split = _split(phrase)
            if split:
                yield split


def _forms(phrase: str) -> Iterator[tuple[str, ...]]:
    """Yield the forms of the marked word of a phrase."""
    head, _, word = phrase.replace("+", "~+").partition("~")[0].rpartition(" ")
    ending = phrase[len(head) + len(word) + (1 if head else 0) :]
    forms = _plural_forms(word) if ending.startswith("+") else verb_forms(word)
    for form in forms:
        yield _split(f"{head} {form}{ending[1:]}")


def verb_forms(verb: str) -> tuple[str, ...]:
    """Return the regular forms of an English verb: act, acts, acted, acting."""
    if verb.endswith("e"):
        return verb, f"{verb}s", f"{verb}d", f"{verb[:-1]}ing"
    if verb.endswith(("s", "x", "z", "ch", "sh")):
        return verb, f"{verb}es", f"{verb}ed", f"{verb}ing"
    if verb.endswith("y") and verb[-2] not in "aeiou":
        return verb, f"{verb[:-1]}ies", f"{verb[:-1]}ied", f"{verb}ing"
    if verb[-1] not in "aeiouwyxr" and verb[-2] in "aeiou" and verb[-3] not in "aeiou":
        return verb, f"{verb}s", f"{verb}{verb[-1]}ed", f"{verb}{verb[-1]}ing", f"{verb}ed", f"{verb}ing"
    return verb, f"{verb}s", f"{verb}ed", f"{verb}ing"


def _plural_forms(noun: str) -> tuple[str, ...]:
    if noun.endswith(("s", "x", "z", "ch", "sh")):
        return noun, f"{noun}es"
    return noun, f"{noun}s"


def _umlaut_spellings(phrase: str) -> Iterable[str]:
    spelt = phrase
    for letter, digraph in _UMLAUTS:
        spelt = spelt.replace(letter, digraph)
    return (phrase,) if spelt == phrase else (phrase, _only_changed(phrase, spelt))


def _only_changed(words: str, spelt: str) -> str:
    pairs = zip(words.split(","), spelt.split(","), strict=True)
    return ",".join(other for one, other in pairs if one != other)


def _split(phrase: str) -> tuple[str, ...]:
    words = phrase.split()
    return tuple(words if all(map(str.isalpha, words)) else _WORD.findall(phrase))


def by_length(words: Iterable[str]) -> dict[int, tuple[str, ...]]:
    """Return the words by how long they are, each group in order."""
    found: dict[int, list[str]] = defaultdict(list)
    for word in sorted(words):
        found[len(word)].append(word)
    return {length: tuple(alike) for length, alike in found.items()}


def _by_first_word(spellings: Mapping[tuple[str, ...], set[str]]) -> dict[str, tuple[Phrase, ...]]:
    found: dict[str, list[Phrase]] = defaultdict(list)
    for phrase, concepts in spellings.items():
        if phrase:
            found[phrase[0]].append((phrase, tuple(sorted(concepts) if len(concepts) > 1 else concepts)))
    return {word: tuple(sorted(phrases, key=lambda it: -len(it[0]))) for word, phrases in found.items()}
