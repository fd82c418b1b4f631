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

LANGUAGES = ("de", "da")
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


def translation_faults(knowledge: Knowledge, translation: Translation) -> Iterator[Fault]:
    """Yield every entry that is not translated and every translation of nothing."""
    for group in ("symptoms", "causes", "checks", "cautions"):
        entries: Mapping[str, Entry] = getattr(knowledge, group)
        words: Mapping[str, Entry] = getattr(translation, group)
        located = translation.files[group]
        for entry in entries:
            if entry not in words:
                yield located.fault((), f"{entry} has no words in {translation.language}; add them")
        for entry in words:
            if entry not in entries:
                hint = suggestion(nearest(entry, entries)) or "."
                yield located.fault((entry,), f"there is no entry {entry}{hint}")
    for check_id, check_words in translation.checks.items():
        if check_id in knowledge.checks:
            yield from _outcome_faults(translation, knowledge.checks[check_id], check_words)


def _outcome_faults(translation: Translation, check: Check, words: CheckWords) -> Iterator[Fault]:
    located = translation.files["checks"]
    labels = {outcome.id: outcome.label for outcome in check.outcomes}
    for outcome, label in labels.items():
        if outcome not in words.outcomes:
            yield located.fault((check.id, "outcomes"), f"outcome {outcome} of {check.id} has no label; add one")
        elif (EXPECT in label) != (EXPECT in words.outcomes[outcome]):
            yield located.fault((check.id, "outcomes", outcome), f"keep {EXPECT} in the label as the English one does")
    for outcome in words.outcomes:
        if outcome not in labels:
            yield located.fault((check.id, "outcomes", outcome), f"{check.id} has no outcome {outcome}")
