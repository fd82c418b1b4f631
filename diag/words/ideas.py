"""Find the ideas a text speaks of, longest phrase first, with the words they came from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from diag.words.cleaning import BREAKS, COMMA, Word
from diag.words.vocabulary import Phrase, Vocabulary


@dataclass(frozen=True, slots=True)
class Mention:
    """Ideas that one stretch of words carries, and the parts of the site that it names or may name."""

    ideas: tuple[str, ...]
    first: int
    last: int
    is_break: bool = False
    parts: tuple[str, ...] = ()

    @property
    def part(self) -> str | None:
        """The part named, when only one can be meant."""
        return self.parts[0] if len(self.parts) == 1 else None

    def has(self, idea: str) -> bool:
        """Tell whether the mention carries the idea."""
        return idea in self.ideas


def find_ideas(words: Sequence[Word], vocabulary: Vocabulary) -> tuple[Mention, ...]:
    """Return mentions in order; sentence ends and commas are mentions of their own."""
    mentions: list[Mention] = []
    present = {word.text for word in words}
    index = 0
    while index < len(words):
        text = words[index].text
        if text in BREAKS or text == COMMA:
            mentions.append(Mention((), index, index, is_break=text in BREAKS))
            index += 1
            continue
        phrase, taken = _longest_phrase(words, index, present, vocabulary)
        if phrase is not None:
            mentions.append(Mention(phrase[1], index, index + taken - 1))
        index += taken
    return tuple(mentions)


def _longest_phrase(
    words: Sequence[Word], index: int, present: set[str], vocabulary: Vocabulary
) -> tuple[Phrase | None, int]:
    """Return the longest phrase that starts here and how many words it spans; None and 1 when none does."""
    for phrase in vocabulary.phrases.get(words[index].text, ()):
        if phrase[0][-1] not in present:
            continue
        taken = _span(words, index, phrase[0], vocabulary)
        if taken:
            return phrase, taken
    return None, 1


def _span(words: Sequence[Word], index: int, phrase: tuple[str, ...], vocabulary: Vocabulary) -> int:
    """Return how many words the phrase spans here, passing over some that change nothing, or 0."""
    at = index + 1
    for wanted in phrase[1:]:
        while at < len(words) and words[at].text != wanted and words[at].text in vocabulary.skippable:
            at += 1
        if at >= len(words) or words[at].text != wanted:
            return 0
        at += 1
    return at - index
