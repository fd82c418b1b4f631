"""Which checks are open in this situation, at which parts, and how likely each outcome is under each hypothesis."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from diag.facts import Situation
from diag.hypotheses import Hypothesis
from diag.likelihoods import SOMETHING_ELSE, OutcomeTables, Shares
from diag.scope import Scope, is_stand_in
from knowledge.entries import Check
from knowledge.load import Knowledge

MOST_OUTCOMES = 6

Option = tuple[str, str]
"""A check and the part it would be made at."""

Floats = NDArray[np.float64]


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
    """Return every check that a hypothesis names, at the part where it would be made for it."""
    picker = _Picker(situation, knowledge)
    wanted: dict[Option, None] = {}
    for hypothesis in hypotheses:
        for evidence in knowledge.causes[hypothesis.cause].checks if hypothesis.cause in knowledge.causes else ():
            part = picker.pick(knowledge.checks[evidence.check], hypothesis)
            if part is not None:
                wanted[(evidence.check, part)] = None
    options = tuple(sorted(wanted))
    return _filled(options, hypotheses, knowledge, tables, picker)


def first_part(situation: Situation, knowledge: Knowledge, check: str) -> str:
    """Return the part at which a check is made when only the case decides."""
    return _Picker(situation, knowledge).first(knowledge.checks[check])


def chances_of(
    option: Option,
    hypotheses: Sequence[Hypothesis],
    situation: Situation,
    knowledge: Knowledge,
    tables: OutcomeTables,
) -> Floats:
    """Return `chances[hypothesis, outcome]` of one option, which need not be among the open ones."""
    filled = _filled((option,), hypotheses, knowledge, tables, _Picker(situation, knowledge))
    chances: Floats = filled.chances[0]
    return chances


def _filled(
    options: tuple[Option, ...],
    hypotheses: Sequence[Hypothesis],
    knowledge: Knowledge,
    tables: OutcomeTables,
    picker: _Picker,
) -> Options:
    base = np.zeros((len(options), 1, MOST_OUTCOMES))
    for place, (check, _) in enumerate(options):
        base[place, 0, : len(tables.healthy[check])] = tables.healthy[check]
    chances = np.repeat(base, len(hypotheses), axis=1)
    at: Mapping[str, list[int]] = _places_by_check(options)
    for row, hypothesis in enumerate(hypotheses):
        for place, shares in _shares(hypothesis, options, at, knowledge, tables, picker):
            chances[place, row, : len(shares)] = shares
    return Options(options, chances, -_plogp(chances).sum(axis=2))


def _shares(
    hypothesis: Hypothesis,
    options: Sequence[Option],
    at: Mapping[str, list[int]],
    knowledge: Knowledge,
    tables: OutcomeTables,
    picker: _Picker,
) -> Iterable[tuple[int, Shares]]:
    if hypothesis.cause == SOMETHING_ELSE:
        yield from ((place, tables.unknown_cause[check]) for place, (check, _) in enumerate(options))
        return
    for evidence in knowledge.causes[hypothesis.cause].checks:
        for place in at.get(evidence.check, ()):
            if picker.reaches(hypothesis, options[place][1]):
                yield place, tables.by_cause[(hypothesis.cause, evidence.check)]


def _places_by_check(options: Sequence[Option]) -> dict[str, list[int]]:
    places: dict[str, list[int]] = {}
    for place, (check, _) in enumerate(options):
        places.setdefault(check, []).append(place)
    return places


def _plogp(chances: Floats) -> Floats:
    logs = np.log2(chances, out=np.zeros_like(chances), where=chances > 0)
    product: Floats = chances * logs
    return product


class _Picker:
    """Chooses the part at which a check is made: the one the case is about before any other."""

    def __init__(self, situation: Situation, knowledge: Knowledge) -> None:
        self.scope: Scope = situation.scope
        self.situation = situation
        self.knowledge = knowledge
        self.fitting: dict[str, list[str]] = {}
        self.reached: dict[tuple[str, str, str], bool] = {}
        first = [it.part for it in situation.placed if it.part] + sorted(situation.scope.chosen.values())
        self.order = {part: place for place, part in enumerate(dict.fromkeys(first))}

    def pick(self, check: Check, hypothesis: Hypothesis) -> str | None:
        """Return the hypothesis's own part where the check is made at such a part, else the first it reaches."""
        parts = self._parts(check)
        if hypothesis.part in parts:
            return hypothesis.part
        return next((part for part in parts if self.reaches(hypothesis, part)), None)

    def first(self, check: Check) -> str:
        """Return the part at which a check is made when the case alone decides."""
        parts = self._parts(check)
        return parts[0] if parts else f"?{check.at}"

    def reaches(self, hypothesis: Hypothesis, part: str) -> bool:
        """Return whether the cause at its part can show in a check at this part."""
        reach = self.knowledge.causes[hypothesis.cause].reach
        key = (hypothesis.part, part, reach)
        if key not in self.reached:
            self.reached[key] = self._reaches(hypothesis.part, part, reach)
        return self.reached[key]

    def _reaches(self, source: str, part: str, reach: str) -> bool:
        if self.scope.related(source, part):
            return True
        if reach == "path":
            return False
        shared = self.scope.chain(source) & self.scope.chain(part)
        return any(self.scope.kind(it) == reach for it in shared)

    def _parts(self, check: Check) -> list[str]:
        if check.id not in self.fitting:
            parts = [it for it in self.situation.parts if self.scope.kind(it) == check.at and self._fits(check, it)]
            self.fitting[check.id] = sorted(parts, key=lambda it: (self.order.get(it, len(self.order)), it))
        return self.fitting[check.id]

    def _fits(self, check: Check, part: str) -> bool:
        if not check.where:
            return True
        described = self.situation.described
        fields = described.common(part[1:]) if is_stand_in(part) else described.fields(part)
        return all(fields.get(name, "unknown") in allowed for name, allowed in check.where.items())
