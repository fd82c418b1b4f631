"""Load the words people use: ideas with their words, and patterns of ideas for symptoms."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

from knowledge.faults import Fault
from knowledge.located import read_located_file, validate

FOLDER = Path(__file__).parent
PATTERN = "lexicon*.yaml"

ConceptId = Annotated[str, StringConstraints(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=40)]
Role = Literal["thing", "act", "asked", "happened", "amount", "when", "not", "elsewhere", "join"]


class Shape(BaseModel):
    """Common settings: unknown fields are errors, values are frozen."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Concept(Shape):
    """One idea and the words for it.

    `words` are separated by commas. `open~` stands for all forms of the verb, `vent+` for one and many.
    """

    id: ConceptId
    role: Role
    says: str = Field(description="What the idea is called when it is shown to the user.")
    implies: list[ConceptId] = Field(default=[], description="Wider ideas that are meant along with it.")
    words: str = ""
    weight: Annotated[float, Field(ge=0, le=5)] = Field(
        default=1.0, description="How much it tells: an unexplained heavy idea counts against a pattern."
    )


class LexiconFile(Shape):
    """What one file may hold; every field may be absent.

    A pattern is a text of ideas that must all be met: `a|b` either, `!c` must be absent, `?d` adds when met,
    `=0.8` sets its strength.
    """

    concepts: list[Concept] = []
    more_words: dict[ConceptId, str] = Field(default={}, description="Further words for ideas of another file.")
    symptoms: dict[ConceptId, list[str]] = {}
    told: dict[ConceptId, list[str]] = {}
    sayings: dict[ConceptId, str] = Field(default={}, description="Whole phrases by symptom, parted by semicolons.")
    ordinary: str = Field(default="", description="Words that carry no idea but are spelt right.")
    short: str = Field(default="", description="Little words whose slips are worth mending.")
    skippable: str = Field(default="", description="Words that may stand inside a phrase without changing it.")
    numbers: dict[str, str] = Field(default={}, description="A number and the words for it.")
    misheard: dict[str, str] = Field(default={}, description="What was meant, and what dictation makes of it.")
    instead: list[dict[ConceptId, str]] = Field(
        default=[], description="Groups of ideas easily taken for one another, with words for each."
    )


@dataclass(frozen=True)
class Lexicon:
    """All words of all files, checked against one another."""

    concepts: Mapping[str, Concept]
    words: Mapping[str, str]
    """All words of each idea, still separated by commas."""
    symptoms: Mapping[str, tuple[str, ...]]
    told: Mapping[str, tuple[str, ...]]
    sayings: Mapping[str, tuple[str, ...]]
    ordinary: str
    short: str
    skippable: str
    numbers: Mapping[str, str]
    misheard: Mapping[str, str]
    instead: tuple[Mapping[str, str], ...]
    """Groups of ideas that are easily taken for one another, with words for each."""


class BadLexicon(Exception):
    """The word files have faults; each names its file, line and what to do."""

    def __init__(self, faults: list[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(map(str, self.faults)))


def load_lexicon(folder: Path = FOLDER, pattern: str = PATTERN) -> Lexicon:
    """Return the words of all files of the folder; raise BadLexicon with every fault at once."""
    files: list[LexiconFile] = []
    faults: list[Fault] = []
    for path in sorted(folder.glob(pattern)):
        found, faulty = validate(read_located_file(path), LexiconFile)
        faults += faulty
        if found is not None:
            files.append(found)
    if faults:
        raise BadLexicon(faults)
    return _joined(files)


def _joined(files: list[LexiconFile]) -> Lexicon:
    concepts = {concept.id: concept for file in files for concept in file.concepts}
    words = {concept: [it.words] for concept, it in concepts.items()}
    for file in files:
        for concept, more in file.more_words.items():
            words[concept].append(more)
    return Lexicon(
        concepts=concepts,
        words={concept: ",".join(filter(None, texts)) for concept, texts in words.items()},
        symptoms=_gathered([file.symptoms for file in files]),
        told=_gathered([file.told for file in files]),
        sayings={symptom: _sayings(said) for file in files for symptom, said in file.sayings.items()},
        ordinary=" ".join(file.ordinary for file in files),
        short=" ".join(file.short for file in files),
        skippable=" ".join(file.skippable for file in files),
        numbers=_texts([file.numbers for file in files]),
        misheard=_texts([file.misheard for file in files]),
        instead=tuple(group for file in files for group in file.instead),
    )


def _sayings(text: str) -> tuple[str, ...]:
    return tuple(phrase.strip() for phrase in text.split(";") if phrase.strip())


def _gathered(groups: list[dict[str, list[str]]]) -> dict[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for group in groups:
        for name, patterns in group.items():
            found[name] = (*found.get(name, ()), *patterns)
    return found


def _texts(groups: list[dict[str, str]]) -> dict[str, str]:
    found: dict[str, str] = {}
    for group in groups:
        for name, text in group.items():
            found[name] = f"{found[name]}, {text}" if name in found else text
    return found
