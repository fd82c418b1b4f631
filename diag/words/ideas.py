"""Find the ideas a text speaks of, longest phrase first, with the words they came from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from diag.words.cleaning import BREAKS, COMMA, Word
from diag.words.vocabulary import Phrase, Vocabulary


@dataclass(frozen=True, slots=True)
class Mention:
    """Ideas that one stretch of words carries; `part` when the stretch is the name of a site's part."""

    ideas: tuple[str, ...]
    first: int
    last: int
    is_break: bool = False
    part: str | None = None

    def has(self, idea: str) -> bool:
        """Tell whether the mention carries the idea."""
        return idea in self.ideas


def find_ideas(words: Sequence[Word], vocabulary: Vocabulary) -> tuple[Mention, ...]:
    """Return mentions in order; sentence ends and commas are mentions of their own."""
    mentions: list[Mention] = []
    index = 0
    while index < len(words):
        text = words[index].text
        if text in BREAKS or text == COMMA:
            mentions.append(Mention((), index, index, is_break=text in BREAKS))
            index += 1
            continue
        phrase, taken = longest_phrase(words, index, vocabulary)
        if phrase is not None:
            mentions.append(Mention(phrase[1], index, index + taken - 1))
        index += taken
    return tuple(mentions)


def longest_phrase(words: Sequence[Word], index: int, vocabulary: Vocabulary) -> tuple[Phrase | None, int]:
    """Return the longest phrase that starts here and how many words it spans; None and 1 when none does."""
    for phrase in vocabulary.phrases.get(words[index].text, ()):
        taken = _span(words, index, phrase[0], vocabulary)
        if taken:
            return phrase, taken
    return None, 1


def _span(words: Sequence[Word], index: int, phrase: tuple[str, ...], vocabulary: Vocabulary) -> int:
    """Return how many words the phrase spans here, passing over words that change nothing; 0 when it is not here."""
    at = index + 1
    for wanted in phrase[1:]:
        while at < len(words) and words[at].text != wanted and _may_pass(words[at].text, vocabulary):
            at += 1
        if at >= len(words) or words[at].text != wanted:
            return 0
        at += 1
    return at - index


def _may_pass(text: str, vocabulary: Vocabulary) -> bool:
    return text in vocabulary.fillers or text in vocabulary.skippable
