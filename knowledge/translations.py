"""The words people see in other languages, by id; English stands in the entries themselves."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from pydantic import RootModel

from knowledge.entries import Check, Entry, EntryId, Text
from knowledge.faults import Fault, nearest, suggestion
from knowledge.load import FOLDER, BadKnowledge, Knowledge
from knowledge.located import Located, read_located_file, validate

NAMES: Mapping[str, str] = {"de": "German", "da": "Danish"}
LANGUAGES = tuple(NAMES)
GROUPS = ("symptoms", "causes", "checks", "cautions")
SOMETHING_ELSE: Mapping[str, str] = {"de": "Etwas anderes", "da": "Noget andet"}
"""The name of the cause that no entry describes."""

EXPECT = "{expect}"


class NameWords(Entry):
    """The name of a symptom or cause."""

    name: Text


class CheckWords(Entry):
    """The question of a check and the labels of its outcomes."""

    question: Text
    outcomes: dict[EntryId, Text]


class CautionWords(Entry):
    """A caution as it is shown before a step."""

    name: Text
    text: Text
    defer: Text


class Names(RootModel[dict[EntryId, NameWords]]):
    """Names by id."""


class Checks(RootModel[dict[EntryId, CheckWords]]):
    """Checks by id."""


class Cautions(RootModel[dict[EntryId, CautionWords]]):
    """Cautions by id."""


@dataclass(frozen=True)
class Translation:
    """All that is translated into one language."""

    language: str
    symptoms: Mapping[str, NameWords]
    causes: Mapping[str, NameWords]
    checks: Mapping[str, CheckWords]
    cautions: Mapping[str, CautionWords]
    something_else: str
    files: Mapping[str, Located]


def load_translation(language: str, folder: Path = FOLDER) -> Translation:
    """Return the words of one language; raise BadKnowledge with every fault of shape."""
    faults: list[Fault] = []
    files: dict[str, Located] = {}
    found: dict[str, dict[str, Entry]] = {}
    shapes: tuple[tuple[str, type[Names | Checks | Cautions]], ...] = (
        ("symptoms", Names),
        ("causes", Names),
        ("checks", Checks),
        ("cautions", Cautions),
    )
    for group, model in shapes:
        path = folder / "translations" / language / f"{group}.yaml"
        files[group] = read_located_file(path, source=str(path.relative_to(folder)))
        words, wrong = validate(files[group], model)
        faults += wrong
        found[group] = dict(words.root) if words else {}
    if faults:
        raise BadKnowledge(faults)
    return Translation(language, **found, something_else=SOMETHING_ELSE[language], files=files)  # type: ignore[arg-type]


def load_translations(folder: Path = FOLDER) -> dict[str, Translation]:
    """Return the words of every language; raise BadKnowledge."""
    return {language: load_translation(language, folder) for language in LANGUAGES}


@dataclass(frozen=True, slots=True)
class Missing:
    """An entry of a group that lacks texts in a language: the whole of it, or the outcomes named."""

    group: str
    entry: str
    texts: int
    outcomes: tuple[str, ...] = ()

    def __str__(self) -> str:
        return f"{self.entry} outcome {' and '.join(self.outcomes)}" if self.outcomes else self.entry


def count_texts(knowledge: Knowledge) -> int:
    """Return how many texts a complete translation has."""
    outcomes = sum(len(it.outcomes) for it in knowledge.checks.values())
    names = len(knowledge.symptoms) + len(knowledge.causes)
    return names + len(knowledge.checks) + outcomes + len(CautionWords.model_fields) * len(knowledge.cautions)


def missing_words(knowledge: Knowledge, translation: Translation) -> list[Missing]:
    """Return what is not translated, group by group."""
    found = [
        Missing(group, entry, _texts_of(knowledge, group, entry))
        for group in GROUPS
        for entry in getattr(knowledge, group)
        if entry not in getattr(translation, group)
    ]
    for check, words in translation.checks.items():
        outcomes = knowledge.checks[check].outcomes if check in knowledge.checks else ()
        lacking = tuple(it.id for it in outcomes if it.id not in words.outcomes)
        if lacking:
            found.append(Missing("checks", check, len(lacking), lacking))
    return found


def _texts_of(knowledge: Knowledge, group: str, entry: str) -> int:
    if group == "checks":
        return 1 + len(knowledge.checks[entry].outcomes)
    return len(CautionWords.model_fields) if group == "cautions" else 1


def translation_faults(knowledge: Knowledge, translation: Translation) -> Iterator[Fault]:
    """Yield every text that is not translated and every translation of nothing."""
    for it in missing_words(knowledge, translation):
        path = (it.entry, "outcomes") if it.outcomes else ()
        yield translation.files[it.group].fault(path, f"{it} has no words in {translation.language}; add them")
    yield from wrong_words(knowledge, translation)


def wrong_words(knowledge: Knowledge, translation: Translation) -> Iterator[Fault]:
    """Yield translations of what is not there, and labels that lost or gained the mark for what is expected."""
    for group in GROUPS:
        entries: Mapping[str, Entry] = getattr(knowledge, group)
        for entry in getattr(translation, group):
            if entry not in entries:
                hint = suggestion(nearest(entry, entries)) or "."
                yield translation.files[group].fault((entry,), f"there is no entry {entry}{hint}")
    for check_id, words in translation.checks.items():
        if check_id in knowledge.checks:
            yield from _outcome_faults(translation, knowledge.checks[check_id], words)


def _outcome_faults(translation: Translation, check: Check, words: CheckWords) -> Iterator[Fault]:
    located = translation.files["checks"]
    labels = {outcome.id: outcome.label for outcome in check.outcomes}
    for outcome, label in words.outcomes.items():
        path = (check.id, "outcomes", outcome)
        if outcome not in labels:
            yield located.fault(
                path, f"{check.id} has no outcome {outcome}{suggestion(nearest(outcome, labels)) or '.'}"
            )
        elif (EXPECT in label) != (EXPECT in labels[outcome]):
            yield located.fault(path, f"keep {EXPECT} in the label as the English one does")
