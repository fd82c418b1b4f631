"""Load every entry of the knowledge base, or report every fault with its file and line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from pydantic import BaseModel

from knowledge.entries import (
    Cause,
    Caution,
    Check,
    Deduction,
    FactShape,
    Story,
    Symptom,
    ToldCondition,
    WordTable,
)
from knowledge.faults import Fault
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
    """All entries by id, and where each was read from."""

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
        version=(folder / "version.txt").read_text(encoding="utf-8").strip(),
        files=reader.files,
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


def load_stories(folder: Path = FOLDER) -> dict[str, Story]:
    """Return the whole call-outs by file name."""
    reader = _Reader(folder)
    stories = reader.named_files("stories/*.yaml", Story)
    if reader.faults:
        raise BadKnowledge(reader.faults)
    return stories


class _Reader:
    """Reads files of one folder and gathers their faults."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.faults: list[Fault] = []
        self.files: dict[str, Located] = {}

    def entries(self, pattern: str, model: type[Model]) -> dict[str, Model]:
        """Return the entries of all matching files by id; a file holds one entry or a list of them."""
        found: dict[str, Model] = {}
        for path in sorted(self.folder.glob(pattern)):
            for located in self._parts(path):
                entry = self._validated(located, model)
                if entry is None:
                    continue
                entry_id: str = entry.id  # type: ignore[attr-defined]
                if entry_id in found:
                    self.faults.append(located.fault(("id",), f"{entry_id} is used twice; choose another id"))
                self.files[f"{model.__name__}:{entry_id}"] = located
                found[entry_id] = entry
        return dict(sorted(found.items()))

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
