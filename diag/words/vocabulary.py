"""All phrases of the lexicon, ready to be looked up by their first word."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from diag.words.cleaning import fold, split_words
from knowledge.lexicon import Lexicon

Phrase = tuple[tuple[str, ...], tuple[str, ...]]
_UMLAUTS = (("ä", "ae"), ("ö", "oe"), ("ü", "ue"), ("ø", "oe"), ("å", "aa"))


@dataclass(frozen=True)
class Vocabulary:
    """Phrases by first word, longest first; every word that is spelt right; words a slip may have meant."""

    phrases: Mapping[str, tuple[Phrase, ...]]
    known: frozenset[str]
    meant: tuple[str, ...]
    misheard: Mapping[tuple[str, ...], tuple[str, ...]]
    fillers: frozenset[str]
    skippable: frozenset[str]
    numbers: Mapping[str, str]


def build_vocabulary(lexicon: Lexicon) -> Vocabulary:
    """Return the vocabulary of a lexicon."""
    fillers = frozenset(lexicon.fillers.split())
    spellings: dict[tuple[str, ...], set[str]] = defaultdict(set)
    for concept, words in lexicon.words.items():
        for phrase in _phrases(words):
            spellings[tuple(word for word in phrase if word not in fillers) or phrase].add(concept)
    numbers = {word: number for number, words in lexicon.numbers.items() for word in words.replace(",", " ").split()}
    carrying = {word for phrase in spellings for word in phrase}
    meant = tuple(sorted(word for word in carrying if len(word) > 3 and not word[0].isdigit()))
    known = carrying | fillers | {fold(word) for word in lexicon.ordinary.split()} | numbers.keys()
    return Vocabulary(
        phrases=_by_first_word(spellings),
        known=frozenset(known | frozenset(lexicon.skippable.split())),
        meant=meant,
        misheard={
            heard: _split(meant_) for meant_, all_heard in lexicon.misheard.items() for heard in _phrases(all_heard)
        },
        fillers=fillers,
        skippable=frozenset(lexicon.skippable.split()),
        numbers=numbers,
    )


def _phrases(words: str) -> Iterator[tuple[str, ...]]:
    """Yield every spelling of a comma-separated list of phrases."""
    for phrase in words.split(","):
        for spelt in _umlaut_spellings(phrase.strip()):
            yield from _forms(spelt)


def _forms(phrase: str) -> Iterator[tuple[str, ...]]:
    if not phrase:
        return
    if "~" not in phrase and "+" not in phrase:
        yield _split(phrase)
        return
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
    return (phrase,) if spelt == phrase else (phrase, spelt)


def _split(phrase: str) -> tuple[str, ...]:
    return tuple(word.text for word in split_words(phrase) if not word.is_mark)


def _by_first_word(spellings: Mapping[tuple[str, ...], set[str]]) -> dict[str, tuple[Phrase, ...]]:
    found: dict[str, list[Phrase]] = defaultdict(list)
    for phrase, concepts in spellings.items():
        if phrase:
            found[phrase[0]].append((phrase, tuple(sorted(concepts))))
    return {word: tuple(sorted(phrases, key=lambda it: -len(it[0]))) for word, phrases in found.items()}
