"""Which checks are open in this situation, at which parts, and how likely each outcome is under each hypothesis."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from diag.facts import Situation
from diag.hypotheses import Hypothesis
from diag.likelihoods import SOMETHING_ELSE, Floats, OutcomeTables
from diag.scope import Scope, is_stand_in
from knowledge.entries import Check
from knowledge.load import Knowledge

Option = tuple[str, str]
"""A check and the part it would be made at."""

Rows = NDArray[np.uint16]

REACH_KINDS: Mapping[str, str | None] = {"path": None, "output": "output", "controller": "controller"}


@dataclass(frozen=True)
class Options:
    """Checks open here with their chances: `chances[option, hypothesis, outcome]`, padded with zeros.

    `doubt[option, hypothesis]` is the entropy in bits that is left in an outcome when the hypothesis is known.
    """

    options: tuple[Option, ...]
    chances: Floats
    doubt: Floats

    def place_of(self, option: Option) -> int:
        """Return the index of an option; ValueError when it is not open."""
        return self.options.index(option)


def open_options(
    situation: Situation, hypotheses: Sequence[Hypothesis], knowledge: Knowledge, tables: OutcomeTables
) -> Options:
    """Return every check that a hypothesis names, at the part where it would be made for it.

    Which they are, and which rows of the tables hold their chances, follows from what is suspected and where; that is
    kept in the scope for the next case like this one.
    """
    spots = tuple((it.cause, it.part) for it in hypotheses)
    options, rows = situation.scope.keep(
        ("options", situation.placed, spots), lambda: _laid_out(situation, hypotheses, knowledge, tables)
    )
    return Options(options, tables.rows[rows], tables.doubt[rows])


def _laid_out(
    situation: Situation, hypotheses: Sequence[Hypothesis], knowledge: Knowledge, tables: OutcomeTables
) -> tuple[tuple[Option, ...], Rows]:
    picker = _Picker(situation, knowledge)
    marks = [_marks(hypothesis, situation, tables, picker) for hypothesis in hypotheses]
    options = tuple(sorted({option for it in marks for option in it.wanted}))
    return options, _rows(options, hypotheses, marks, tables)


def first_part(situation: Situation, knowledge: Knowledge, check: str) -> str:
    """Return the part at which a check is made when only the case decides."""
    parts = _Picker(situation, knowledge).parts(check)
    return parts[0] if parts else f"?{knowledge.checks[check].at}"


def chances_of(
    option: Option,
    hypotheses: Sequence[Hypothesis],
    situation: Situation,
    knowledge: Knowledge,
    tables: OutcomeTables,
) -> Floats:
    """Return `chances[hypothesis, outcome]` of one option, which need not be among the open ones."""
    picker = _Picker(situation, knowledge)
    marks = [_Marks((), _changed(hypothesis, [option], tables, picker)) for hypothesis in hypotheses]
    chances: Floats = tables.rows[_rows((option,), hypotheses, marks, tables)][0]
    return chances


@dataclass(frozen=True)
class _Marks:
    """What one hypothesis asks for, and the rows of the tables for the options whose outcome it changes."""

    wanted: tuple[Option, ...]
    changed: tuple[tuple[Option, int], ...]


def _marks(hypothesis: Hypothesis, situation: Situation, tables: OutcomeTables, picker: _Picker) -> _Marks:
    key = ("marks", hypothesis.cause, hypothesis.part, situation.placed)
    return situation.scope.keep(key, lambda: _mark(hypothesis, tables, picker))


def _mark(hypothesis: Hypothesis, tables: OutcomeTables, picker: _Picker) -> _Marks:
    checks = tables.by_cause.get(hypothesis.cause, ())
    picked = [(check, picker.pick(check, hypothesis)) for check, _ in checks]
    fitting = [(check, part) for check, _ in checks for part in picker.parts(check)]
    wanted = tuple((check, part) for check, part in picked if part is not None)
    return _Marks(wanted, _changed(hypothesis, fitting, tables, picker))


def _changed(
    hypothesis: Hypothesis, options: Sequence[Option], tables: OutcomeTables, picker: _Picker
) -> tuple[tuple[Option, int], ...]:
    rows = dict(tables.by_cause.get(hypothesis.cause, ()))
    return tuple(
        ((check, part), rows[check]) for check, part in options if check in rows and picker.reaches(hypothesis, part)
    )


def _rows(
    options: tuple[Option, ...], hypotheses: Sequence[Hypothesis], marks: Sequence[_Marks], tables: OutcomeTables
) -> Rows:
    """Return `rows[option, hypothesis]`: where in the tables the chances of its outcomes stand."""
    healthy = np.array([tables.healthy[check] for check, _ in options], dtype=np.uint16)
    rows = np.repeat(healthy[:, None], len(hypotheses), axis=1)
    index = {option: place for place, option in enumerate(options)}
    for column, hypothesis in enumerate(hypotheses):
        if hypothesis.cause == SOMETHING_ELSE:
            rows[:, column] = [tables.unknown_cause[check] for check, _ in options]
        for option, row in marks[column].changed:
            if option in index:
                rows[index[option], column] = row
    return rows


class _Picker:
    """Chooses the part at which a check is made: the one the case is about before any other."""

    def __init__(self, situation: Situation, knowledge: Knowledge) -> None:
        self._scope: Scope = situation.scope
        self._described = situation.described
        self._knowledge = knowledge
        self._fitting: dict[str, Sequence[str]] = {}
        self._situation = situation

    @cached_property
    def _by_kind(self) -> Mapping[str, Sequence[str]]:
        first = [it.part for it in self._situation.placed if it.part] + sorted(self._scope.chosen.values())
        order = {part: place for place, part in enumerate(dict.fromkeys(first))}
        by_kind: dict[str, list[str]] = {}
        for part in sorted(self._situation.parts, key=lambda it: (order.get(it, len(order)), it)):
            by_kind.setdefault(self._scope.kind(part), []).append(part)
        return by_kind

    def pick(self, check: str, hypothesis: Hypothesis) -> str | None:
        """Return the hypothesis's own part where the check is made at such a part, else the first it reaches."""
        parts = self.parts(check)
        if hypothesis.part in parts:
            return hypothesis.part
        return next((part for part in parts if self.reaches(hypothesis, part)), None)

    def reaches(self, hypothesis: Hypothesis, part: str) -> bool:
        """Return whether the cause at its part can show in a check at this part; a cable is measured on its own."""
        if part != hypothesis.part and self._scope.kind(part) == self._scope.kind(hypothesis.part) == "cable":
            return False
        return self._scope.reaches(hypothesis.part, part, REACH_KINDS[self._knowledge.causes[hypothesis.cause].reach])

    def parts(self, check: str) -> Sequence[str]:
        """Return the parts in reach at which the check can be made, the likeliest meant first."""
        if check not in self._fitting:
            entry = self._knowledge.checks[check]
            parts = self._by_kind.get(entry.at, [])
            self._fitting[check] = [it for it in parts if self._fits(entry, it)] if entry.where else parts
        return self._fitting[check]

    def _fits(self, check: Check, part: str) -> bool:
        fields = self._described.common(part[1:]) if is_stand_in(part) else self._described.fields(part)
        return all(fields.get(name, "unknown") in allowed for name, allowed in check.where.items())
