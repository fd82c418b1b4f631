"""Read a YAML or JSON text into plain data that remembers the line and column of every value."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path as FilePath
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from knowledge.faults import Fault, Path, Position, Problem, listed
from knowledge.shape_faults import shape_problems
from knowledge.source_text import (
    SHORTENED_BY,
    Shifts,
    line_and_column,
    refuse,
    too_large,
    without_surrogate_pairs,
)
from knowledge.yaml_events import grow
from knowledge.yaml_tree import Finding, Mark, Spot, Tree

Model = TypeVar("Model", bound=BaseModel)

MAX_BYTES = 4_000_000


@dataclass(frozen=True, slots=True)
class Located:
    """Plain data of a file or of a part of it, the faults met while reading, and where its values are.

    Reading that had to stop half-way leaves `is_complete` False: what seems missing may only be unread.
    Paths given to its functions start at its own data; the paths in faults start at the top of the file.
    """

    source: str
    data: Any
    faults: tuple[Fault, ...] = ()
    is_complete: bool = True
    spot: Spot | Mark | None = None
    shifts: Shifts | None = None
    base: Path = ()

    def position(self, path: Path) -> Position:
        """Return line and column, from 1, of the value at the path.

        For a path that leads nowhere: of the deepest key on the way, or of where the data starts.
        """
        spot, key = self._walk(path)
        return self._place(_mark(spot) if spot is not None else key)

    def key_position(self, path: Path) -> Position:
        """Return line and column of the key that the path ends with, or of the deepest key on the way."""
        return self._place(self._walk(path)[1])

    def fault(self, path: Path, message: str) -> Fault:
        """Return a fault at the value the path leads to."""
        return self._fault(Problem(path, message))

    def faults_of(self, problems: Iterable[Problem]) -> list[Fault]:
        """Return the problems as faults, without absences that may only be unread."""
        return [self._fault(problem) for problem in problems if self.is_complete or not problem.is_absence]

    def inside(self, path: Path) -> Located:
        """Return the part of the data at the path, with its positions but without the faults of reading.

        Raise LookupError when the path leads nowhere.
        """
        data = self.data
        for step in path:
            data = data[step]
        return replace(self, data=data, faults=(), spot=self._walk(path)[0], base=(*self.base, *path))

    def _fault(self, problem: Problem) -> Fault:
        line, column = (self.key_position if problem.at_key else self.position)(problem.path)
        path = (*self.base, *problem.path)
        return Fault(self.source, line, column, path, problem.message, problem.found, problem.allowed, problem.nearest)

    def _walk(self, path: Path) -> tuple[Spot | Mark | None, Mark | None]:
        """Return where the value is, None when it is nowhere, and the mark of the deepest key on the way."""
        spot = self.spot
        key = _mark(spot) if self.base else None
        for step in path:
            if not isinstance(spot, Spot) or step not in spot.inside:
                return None, key
            below = spot.inside[step]
            key = spot.keys[step] if isinstance(step, str) else _mark(below)
            spot = below
        return spot, key

    def _place(self, mark: Mark | None) -> Position:
        return _position(mark, self.shifts)


def read_located(text: str, source: str, max_bytes: int = MAX_BYTES, top: tuple[type, ...] = (dict,)) -> Located:
    """Return the data of a YAML or JSON text with positions; whatever is refused is in `faults`.

    Data is of a `top` type (mapping or list) whenever there are no faults. With faults it holds what could be
    read, perhaps nothing.
    """
    refusal = refuse(text, max_bytes)
    if refusal:
        return _unread(source, *refusal)
    body, shifts = without_surrogate_pairs(text.removeprefix("\ufeff"))
    tree = Tree()
    stopped_by = grow(tree, body)
    findings = tree.findings if stopped_by is None else [stopped_by, *tree.findings]
    faults = [_as_fault(source, finding, shifts) for finding in findings]
    if isinstance(tree.data, top):
        return Located(source, tree.data, listed(faults), stopped_by is None, tree.spot, shifts)
    return Located(source, {}, listed(faults or [_wrong_top(source, tree, top)]), is_complete=False)


def read_located_file(
    path: FilePath, source: str | None = None, max_bytes: int = MAX_BYTES, top: tuple[type, ...] = (dict,)
) -> Located:
    """Return what `read_located` makes of a UTF-8 file; raise OSError when it cannot be read.

    Faults name the file as `source` says, or by its own name.
    """
    source = source if source is not None else path.name
    with path.open("rb") as file:
        content = file.read(max_bytes + 1)
    if len(content) > max_bytes:
        return _unread(source, *too_large(max_bytes))
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError as error:
        line, column = line_and_column(content[: error.start].decode("utf-8"), error.start)
        return _unread(source, line, column, f"byte {content[error.start]:#04x} is not UTF-8; save the file as UTF-8")
    return read_located(text, source, max_bytes, top)


def validate(located: Located, model: type[Model]) -> tuple[Model | None, list[Fault]]:
    """Return the model the data makes, or None, and every fault of reading and of shape from the top down."""
    try:
        made = model.model_validate(located.data)
    except ValidationError as error:
        problems = shape_problems(error, model, located.data)
        return None, list(listed([*located.faults, *located.faults_of(problems)]))
    return (None if located.faults else made), list(located.faults)


def _unread(source: str, line: int, column: int, message: str) -> Located:
    return Located(source, {}, (Fault(source, line, column, (), message),), is_complete=False)


def _wrong_top(source: str, tree: Tree, top: tuple[type, ...]) -> Fault:
    if tree.data is None:
        return Fault(source, 1, 1, (), "the file is empty; write at least `name:` and a name")
    line, column = _position(_mark(tree.spot), None)
    wanted = "names and values, such as `name: Reading room`" if list not in top else "names and values, or a list"
    return Fault(source, line, column, (), f"the file must hold {wanted}")


def _as_fault(source: str, finding: Finding, shifts: Shifts) -> Fault:
    line, column = _position(finding.mark, shifts)
    return Fault(source, line, column, finding.path, finding.message, finding.found)


def _mark(spot: Spot | Mark | None) -> Mark | None:
    return spot.mark if isinstance(spot, Spot) else spot


def _position(mark: Mark | None, shifts: Shifts | None) -> Position:
    if mark is None:
        return 1, 1
    earlier = (shifts or {}).get(mark.line, ())
    shortened = SHORTENED_BY * sum(column < mark.column for column in earlier)
    return mark.line + 1, mark.column + shortened + 1
