"""Find texts for people that are hard to read, spelled the American way, unfinished, or use words to leave out."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from functools import cache

from diag.reading_grade import count_words, reading_grade
from diag.user_texts import UserText, user_texts
from knowledge.faults import Fault
from knowledge.load import Knowledge, load_wording

GRADE_LIMIT = 9.0
LEAST_WORDS = 12
"""Fewer words than this say nothing of the grade; an entry's short texts are graded together."""

MARK = "FILL"
"""What a skeleton holds where its author writes."""


def lint_texts(knowledge: Knowledge) -> Iterator[Fault]:
    """Yield the faults of every text people read."""
    wording = load_wording()
    texts = list(user_texts(knowledge))
    for it in texts:
        for message in (*_unfinished(it.text), *_worded(it.text, wording.spelling, wording.banned)):
            yield _fault(knowledge, it, message)
    yield from _unfinished_phrases(knowledge)
    for it, grade in _too_hard(texts):
        yield _fault(
            knowledge, it, f"reads at grade {grade:.1f}, above {GRADE_LIMIT:g}; shorten sentences, take plainer words"
        )


def _fault(knowledge: Knowledge, it: UserText, message: str) -> Fault:
    return knowledge.files[f"{it.kind}:{it.entry}"].fault(it.path, message)


def _unfinished(text: str) -> Iterator[str]:
    if MARK in text:
        yield f"still to fill: write the text in place of {MARK}"


def _unfinished_phrases(knowledge: Knowledge) -> Iterator[Fault]:
    for symptom in knowledge.symptoms.values():
        located = knowledge.files[f"Symptom:{symptom.id}"]
        for index, phrase in enumerate(symptom.phrases):
            yield from (located.fault(("phrases", index), message) for message in _unfinished(phrase))


def _worded(text: str, spelling: Mapping[str, str], banned: Mapping[str, str]) -> Iterator[str]:
    if "!" in text:
        yield "exclamation mark; end the sentence with a full stop"
    for found, written in _found(text, spelling):
        yield f"“{found}” is American spelling; write “{written}”"
    for found, instead in _found(text, banned):
        yield f"“{found}” is a word to leave out; write {instead}"


def _found(text: str, table: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """Yield each word of the table that the text holds, as written, with what the table says of it."""
    lowered = text.lower()
    for word, instead in table.items():
        if word.removesuffix("*") in lowered:
            yield from ((match[0], instead) for match in _pattern(word).finditer(text))


@cache
def _pattern(word: str) -> re.Pattern[str]:
    ending = r"\w*" if word.endswith("*") else r"(?!\w)"
    return re.compile(rf"(?<!\w){re.escape(word.removesuffix('*'))}{ending}", re.IGNORECASE)


def _too_hard(texts: Iterable[UserText]) -> Iterator[tuple[UserText, float]]:
    short: dict[tuple[str, str], list[UserText]] = {}
    for it in texts:
        if count_words(it.text) >= LEAST_WORDS:
            yield from _graded(it, it.text)
        elif it.path[-1] != "name" and it.path[0] != "tools":
            short.setdefault((it.kind, it.entry), []).append(it)
    for group in short.values():
        together = " ".join(it.text.rstrip(".?") + "." for it in group)
        if count_words(together) >= LEAST_WORDS:
            hardest = max(group, key=lambda it: reading_grade(it.text))
            yield from _graded(hardest, together)


def _graded(it: UserText, text: str) -> Iterator[tuple[UserText, float]]:
    grade = reading_grade(text)
    if grade > GRADE_LIMIT:
        yield it, grade
