"""Build plain data and its positions from the events of a YAML parser, refusing what can surprise or harm."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any, Protocol

import yaml

from knowledge.faults import Path, quoted
from knowledge.scalars import read_scalar

DEEPEST = 20
FINDING_LIMIT = 1000
HIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff]")


class Mark(Protocol):
    """A place in the text; line and column count from 0."""

    line: int
    column: int


@dataclass(slots=True)
class Spot:
    """Where a value starts, and for mappings and lists where its keys and members start."""

    mark: Mark | None
    keys: dict[str, Mark] = field(default_factory=dict)
    inside: dict[str | int, Spot | Mark] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Finding:
    """Something refused, at a mark; the path is that of the value concerned."""

    mark: Mark | None
    path: Path
    message: str
    found: str = ""


class Stop(Exception):
    """Reading cannot go on after this finding."""

    def __init__(self, finding: Finding) -> None:
        super().__init__(finding.message)
        self.finding = finding


@dataclass(slots=True)
class _Open:
    """A mapping or list still being read."""

    data: dict[str, Any] | list[Any]
    spot: Spot
    step: str | int | None
    key: str | None = None

    @property
    def next_step(self) -> str | int | None:
        """Return the key or index of the member being read; None where a key comes next."""
        return len(self.data) if isinstance(self.data, list) else self.key


class Tree:
    """Plain data with its spots, grown one event at a time without recursion."""

    def __init__(self) -> None:
        self.data: Any = None
        self.spot: Spot | Mark | None = None
        self.findings: list[Finding] = []
        self._open: list[_Open] = []
        self._documents = 0

    def add(self, event: Any) -> None:
        """Take the next event; raise Stop when nothing after it can be read sensibly."""
        kind = type(event)
        if kind is yaml.ScalarEvent:
            self._add_scalar(event)
        elif kind is yaml.MappingStartEvent:
            self._open_container(event, {})
        elif kind is yaml.SequenceStartEvent:
            self._open_container(event, [])
        elif kind is yaml.MappingEndEvent or kind is yaml.SequenceEndEvent:
            self._open.pop()
        elif kind is yaml.AliasEvent:
            self._add_alias(event)
        elif kind is yaml.DocumentStartEvent:
            self._start_document(event)

    def path(self) -> Path:
        """Return the path of the value being read, or about to be."""
        steps = [level.step for level in self._open[1:]]
        if self._open:
            steps.append(self._open[-1].next_step)
        return tuple(step for step in steps if step is not None)

    def _refuse(self, mark: Mark, message: str, found: str = "") -> None:
        finding = Finding(mark, self.path(), message, found)
        if len(self.findings) >= FINDING_LIMIT:
            raise Stop(finding)
        self.findings.append(finding)

    def _start_document(self, event: Any) -> None:
        self._documents += 1
        if self._documents > 1:
            raise Stop(Finding(event.start_mark, (), "a second document starts here; keep one document in a file"))

    def _add_scalar(self, event: Any) -> None:
        level = self._open[-1] if self._open else None
        if level is not None and level.key is None and isinstance(level.data, dict):
            self._take_key(level, event)
            return
        if event.anchor is not None or event.tag is not None:
            self._refuse_extras(event)
        self._place(self._scalar_value(event), event.start_mark)

    def _take_key(self, level: _Open, event: Any) -> None:
        key = level.key = event.value
        if event.anchor is not None or event.tag is not None:
            self._refuse_extras(event)
        self._refuse_hidden(key, event.start_mark)
        if key in level.spot.keys:
            first = level.spot.keys[key].line + 1
            message = f"{quoted(key)} is given twice, first at line {first}; rename or remove one of them"
            self._refuse(event.start_mark, message, key)
        level.spot.keys[key] = event.start_mark

    def _scalar_value(self, event: Any) -> Any:
        if not event.implicit[0]:
            self._refuse_hidden(event.value, event.start_mark)
            return event.value
        try:
            return read_scalar(event.value)
        except ValueError as error:
            self._refuse(event.start_mark, str(error), event.value[:80])
            return None

    def _refuse_hidden(self, text: str, mark: Mark) -> None:
        hidden = HIDDEN.search(text)
        if hidden:
            self._refuse(mark, f"the text holds the control character U+{ord(hidden[0]):04X}; take it out")

    def _refuse_extras(self, event: Any) -> None:
        if event.anchor is not None:
            message = f"the anchor &{event.anchor} is not allowed; write the value out where it is needed"
            self._refuse(event.start_mark, message, f"&{event.anchor}")
        if event.tag is not None:
            message = f"the tag {quoted(event.tag)} is not allowed; write the value without it"
            self._refuse(event.start_mark, message, event.tag)

    def _add_alias(self, event: Any) -> None:
        self._refuse_complex_key(event)
        message = f"the alias *{event.anchor} is not allowed; write the value out again"
        self._refuse(event.start_mark, message, f"*{event.anchor}")
        self._place(None, event.start_mark)

    def _open_container(self, event: Any, data: dict[str, Any] | list[Any]) -> None:
        self._refuse_complex_key(event)
        if len(self._open) >= DEEPEST:
            message = f"nested more than {DEEPEST} levels deep; a description needs fewer"
            raise Stop(Finding(event.start_mark, self.path(), message))
        if event.anchor is not None or event.tag is not None:
            self._refuse_extras(event)
        spot = Spot(event.start_mark)
        step = self._open[-1].next_step if self._open else None
        self._place(data, spot)
        self._open.append(_Open(data, spot, step))

    def _refuse_complex_key(self, event: Any) -> None:
        level = self._open[-1] if self._open else None
        if level is not None and level.key is None and isinstance(level.data, dict):
            raise Stop(Finding(event.start_mark, self.path(), "a name must be plain text, not a list or mapping"))

    def _place(self, value: Any, spot: Spot | Mark) -> None:
        if not self._open:
            self.data, self.spot = value, spot
            return
        level = self._open[-1]
        if isinstance(level.data, list):
            level.spot.inside[len(level.data)] = spot
            level.data.append(value)
            return
        assert level.key is not None
        level.data[level.key] = value
        level.spot.inside[level.key] = spot
        level.key = None
