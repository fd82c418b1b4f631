"""The words of questions in each language: phrases of our own, and the knowledge base's names with their fallback."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from diag.errors import UnknownName
from knowledge.entries import Check
from knowledge.load import Knowledge
from knowledge.translations import EXPECT, Translation, load_translation

FOLDER = Path(__file__).with_name("words")
LANGUAGES = ("en", "de", "da")


class UnknownLanguage(UnknownName):
    """No quiz can be made in this language."""

    thing = "language for quizzes"


class Phrases:
    """Says what a question needs in one language, and notes which texts have no words in it."""

    def __init__(self, knowledge: Knowledge, language: str) -> None:
        if language not in LANGUAGES:
            raise UnknownLanguage(language, LANGUAGES)
        self.language = language
        self._knowledge = knowledge
        self._words = load_phrases(language)
        self._translation: Translation | None = None if language == "en" else load_translation(language)
        self._in_english: set[str] = set()

    @contextmanager
    def noting(self) -> Iterator[set[str]]:
        """Give the set of what stays English, filled while a question is being made."""
        before, self._in_english = self._in_english, set()
        yield self._in_english
        self._in_english = before

    def say(self, phrase: str, **values: object) -> str:
        """Return a phrase of our own, filled in, its first letter a capital."""
        said = self._words[phrase].format(**values)
        return said[:1].upper() + said[1:]

    def term(self, phrase: str) -> str:
        """Return a word of our own as it stands inside a sentence."""
        return self._words[phrase]

    def english(self, field: str, text: str) -> str:
        """Return a text that exists in English alone, noting the field it goes to."""
        if self._translation is not None:
            self._in_english.add(field)
        return text

    def symptom(self, symptom: str) -> str:
        """Return the name of a symptom."""
        return (self._translation or self._knowledge).symptoms[symptom].name

    def cause(self, cause: str) -> str:
        """Return the name of a cause."""
        return (self._translation or self._knowledge).causes[cause].name

    def check(self, check: str) -> str:
        """Return the name of a check; in other languages its question, for there it has no name."""
        if self._translation is None:
            return self._knowledge.checks[check].name
        return self._translation.checks[check].question

    def outcome(self, check: Check, outcome: str) -> str:
        """Return the label of an outcome, without the reading to expect."""
        if self._translation is None:
            label = next(it.label for it in check.outcomes if it.id == outcome)
        else:
            label = self._translation.checks[check.id].outcomes[outcome]
        return label.replace(f": {EXPECT}", "").replace(EXPECT, self.say("as-expected")).rstrip(".")

    def caution(self, caution: str) -> str:
        """Return the text of a caution."""
        return (self._translation or self._knowledge).cautions[caution].text

    def condition(self, condition: str) -> str:
        """Return a circumstance that a caller mentions."""
        told = load_practice_words(self.language)["told"]
        return str(told.get(condition, self._knowledge.conditions[condition].name))

    def caution_name(self, caution: str) -> str:
        """Return the name of a caution."""
        return (self._translation or self._knowledge).cautions[caution].name


@cache
def load_practice_words(language: str) -> Mapping[str, Any]:
    """Return the words of call-outs in a language by name."""
    found: dict[str, Any] = yaml.safe_load((FOLDER / f"practice.{language}.yaml").read_text(encoding="utf-8"))
    return found


@cache
def load_phrases(language: str) -> Mapping[str, str]:
    """Return the phrases of a language by name."""
    found: dict[str, str] = yaml.safe_load((FOLDER / f"{language}.yaml").read_text(encoding="utf-8"))
    return {str(name): text for name, text in found.items()}
