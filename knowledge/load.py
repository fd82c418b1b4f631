"""Load every entry of the knowledge base, or report every fault with its file and line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

from pydantic import BaseModel

from knowledge.entries import (
    Cause,
    Caution,
    Check,
    Deduction,
    FactShape,
    FailureClass,
    Retired,
    Story,
    Symptom,
    ToldCondition,
    Wording,
    WordTable,
)
from knowledge.faults import Fault, nearest, suggestion
from knowledge.inspection_entries import InspectionRule
from knowledge.located import Located, read_located_file, validate

FOLDER = Path(__file__).parent

Model = TypeVar("Model", bound=BaseModel)


class BadKnowledge(Exception):
    """The knowledge base has faults; each names its file, line and what to do."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(map(str, self.faults)))


@dataclass(frozen=True)
class Knowledge:
    """All entries by id, where each was read from, and by kind which ids have been replaced by which."""

    symptoms: Mapping[str, Symptom]
    causes: Mapping[str, Cause]
    checks: Mapping[str, Check]
    cautions: Mapping[str, Caution]
    conditions: Mapping[str, ToldCondition]
    facts: Mapping[str, FactShape]
    deductions: Mapping[str, Deduction]
    words: WordTable
    version: str
    files: Mapping[str, Located]
    redirects: Mapping[str, Mapping[str, str]] = field(default_factory=dict)

    def current(self, kind: str, entry: str) -> str:
        """Return the id in use for an id that may have been retired; `kind` is Symptom, Cause, Check or Caution."""
        return self.redirects.get(kind, {}).get(entry, entry)


def load_knowledge(folder: Path = FOLDER) -> Knowledge:
    """Return all entries; raise BadKnowledge with every fault of shape at once."""
    reader = _Reader(folder)
    knowledge = Knowledge(
        symptoms=reader.entries("symptoms/*.yaml", Symptom),
        causes=reader.entries("causes/*/*.yaml", Cause),
        checks=reader.entries("checks/*.yaml", Check),
        cautions=reader.entries("cautions.yaml", Caution),
        conditions=reader.entries("conditions.yaml", ToldCondition),
        facts=reader.facts("facts.yaml"),
        deductions=reader.named_files("deductions/*.yaml", Deduction),
        words=reader.one("words.yaml", WordTable),
        version=load_version(folder),
        files=reader.files,
        redirects=reader.redirects,
    )
    if reader.faults:
        raise BadKnowledge(reader.faults)
    return knowledge


def load_symptoms(folder: Path = FOLDER) -> tuple[dict[str, Symptom], dict[str, ToldCondition]]:
    """Return only what understanding typed text needs: symptoms and told circumstances."""
    reader = _Reader(folder)
    found = reader.entries("symptoms/*.yaml", Symptom), reader.entries("conditions.yaml", ToldCondition)
    if reader.faults:
        raise BadKnowledge(reader.faults)
    return found


def load_wording(folder: Path = FOLDER) -> Wording:
    """Return how texts for people are written."""
    return _Reader(folder).one("wording.yaml", Wording)


def load_failure_modes(folder: Path = FOLDER) -> dict[str, FailureClass]:
    """Return the failure modes by id with their class in the taxonomy."""
    reader = _Reader(folder)
    modes = reader.entries("failure-modes.yaml", FailureClass)
    if reader.faults:
        raise BadKnowledge(reader.faults)
    return modes


@dataclass(frozen=True)
class Stories:
    """The whole call-outs by file name, and where each was read from."""

    stories: Mapping[str, Story]
    files: Mapping[str, Located]


def load_stories(folder: Path = FOLDER) -> dict[str, Story]:
    """Return the whole call-outs by file name; raise BadKnowledge with every fault of shape at once."""
    return dict(load_story_files(folder).stories)


def load_story_files(folder: Path = FOLDER) -> Stories:
    """Return the whole call-outs with their places; raise BadKnowledge with every fault of shape at once."""
    reader = _Reader(folder)
    stories = reader.named_files("stories/*.yaml", Story)
    if reader.faults:
        raise BadKnowledge(reader.faults)
    return Stories(stories, reader.files)


@dataclass(frozen=True)
class Inspections:
    """The inspection rules by id, the facts they may ask for, and where each was read from."""

    rules: Mapping[str, InspectionRule]
    facts: Mapping[str, FactShape]
    files: Mapping[str, Located]


def load_inspections(folder: Path = FOLDER) -> Inspections:
    """Return what is inspected before power-up; raise BadKnowledge with every fault of shape at once."""
    reader = _Reader(folder)
    facts = reader.facts("inspection/facts.yaml") if (folder / "inspection").is_dir() else {}
    rules = reader.entries("inspection/rules/*.yaml", InspectionRule)
    if reader.faults:
        raise BadKnowledge(reader.faults)
    return Inspections(rules, facts, reader.files)


def load_cautions(folder: Path = FOLDER) -> dict[str, Caution]:
    """Return only the cautions."""
    reader = _Reader(folder)
    cautions = reader.entries("cautions.yaml", Caution)
    if reader.faults:
        raise BadKnowledge(reader.faults)
    return cautions


def load_version(folder: Path = FOLDER) -> str:
    """Return the edition of the knowledge."""
    return (folder / "version.txt").read_text(encoding="utf-8").strip()


class _Reader:
    """Reads files of one folder and gathers their faults."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.faults: list[Fault] = []
        self.files: dict[str, Located] = {}
        self.redirects: dict[str, dict[str, str]] = {}

    def entries(self, pattern: str, model: type[Model]) -> dict[str, Model]:
        """Return the entries in use of all matching files by id; a file holds one entry or a list of them."""
        found: dict[str, Model] = {}
        retired: dict[str, str] = {}
        for path in sorted(self.folder.glob(pattern)):
            for located in self._parts(path):
                self._take(located, model, found, retired)
        self.redirects[model.__name__] = {old: self._end(model, old, found, retired) for old in sorted(retired)}
        return dict(sorted(found.items()))

    def _take(self, located: Located, model: type[Model], found: dict[str, Model], retired: dict[str, str]) -> None:
        is_retired = isinstance(located.data, dict) and located.data.get("status") == "retired"
        entry = self._validated(located, Retired) if is_retired else self._validated(located, model)
        if entry is None:
            return
        entry_id: str = entry.id  # type: ignore[union-attr]
        if entry_id in found or entry_id in retired:
            self.faults.append(located.fault(("id",), f"{entry_id} is used twice; choose another id"))
        self.files[f"{model.__name__}:{entry_id}"] = located
        if isinstance(entry, Retired):
            retired[entry_id] = entry.replaced_by
        else:
            found[entry_id] = entry

    def _end(self, model: type[Model], old: str, found: Mapping[str, Model], retired: Mapping[str, str]) -> str:
        """Return the id in use at the end of a chain of replacements; one that ends nowhere is a fault."""
        new, seen = retired[old], {old}
        while new in retired and new not in seen:
            seen.add(new)
            new = retired[new]
        if new not in found:
            hint = suggestion(nearest(new, found)) or "."
            fault = self.files[f"{model.__name__}:{old}"].fault(
                ("replaced-by",), f"there is no {model.__name__.lower()} {new} in use{hint}"
            )
            self.faults.append(fault)
        return new

    def named_files(self, pattern: str, model: type[Model]) -> dict[str, Model]:
        """Return one entry a file, by file name."""
        found: dict[str, Model] = {}
        for path in sorted(self.folder.glob(pattern)):
            located = self._read(path)
            entry = self._validated(located, model)
            if entry is not None:
                self.files[f"{model.__name__}:{path.stem}"] = located
                found[path.stem] = entry
        return found

    def one(self, name: str, model: type[Model]) -> Model:
        """Return the single entry of a file; raise BadKnowledge when it is faulty, for nothing works without."""
        entry = self._validated(self._read(self.folder / name), model)
        if entry is None:
            raise BadKnowledge(self.faults)
        return entry

    def facts(self, name: str) -> dict[str, FactShape]:
        """Return the fact kinds of the vocabulary."""
        located = self._read(self.folder / name)
        shapes = {kind: self._validated(located.inside((kind,)), FactShape) for kind in located.data}
        return {kind: shape for kind, shape in shapes.items() if shape is not None}

    def _parts(self, path: Path) -> list[Located]:
        located = self._read(path)
        if isinstance(located.data, list):
            return [located.inside((index,)) for index in range(len(located.data))]
        return [located]

    def _read(self, path: Path) -> Located:
        located = read_located_file(path, source=str(path.relative_to(self.folder)), top=(dict, list))
        self.faults += located.faults
        return located

    def _validated(self, located: Located, model: type[Model]) -> Model | None:
        entry, faults = validate(located, model)
        self.faults += [fault for fault in faults if fault not in self.faults]
        return entry
