"""Leave out the parts of which no inspection rule asks anything that they meet, before the engine reads them."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import cast

from diag.engine_patterns import Pattern, PatternIndex
from diag.engine_plans import plan_rule
from diag.inspection.view import Words
from diag.rules import Rule

PART = "part"
"""Every fact has it, so a test that it is there tells nothing."""


Meets = Callable[[Words], int]
"""Return, bit by bit, which conditions these words meet; a word of None counts as missing."""


@dataclass(frozen=True, slots=True)
class Sieve:
    """What the conditions on one kind of fact ask of the shared fields, and of all others, when they ask anything."""

    shared: Meets
    own: Meets | None


Sieves = Mapping[str, Sieve]
"""By kind of fact; a kind that no condition asks for has none."""


def make_sieves(rules: Iterable[Rule], shared: Mapping[str, Collection[str]]) -> Sieves:
    """Return the sieves for these rules; `shared` names the fields that parts of a kind share."""
    patterns: dict[str, dict[Pattern, None]] = {}
    for rule in rules:
        for pattern in plan_rule(rule).patterns:
            patterns.setdefault(pattern.kind, {})[pattern] = None
    return {kind: _sieve(list(known), shared.get(kind, ())) for kind, known in patterns.items()}


Part = tuple[str, Words, Words]
"""The id of a part, the words it shares with all parts alike, and its own."""


def sift(sieve: Sieve | None, parts: Iterable[Part]) -> Iterator[Part]:
    """Yield the parts whose words meet some condition; parts that share a mapping share its answer."""
    if sieve is None:
        return
    meets_shared, meets_own = sieve.shared, sieve.own
    answers: dict[int, tuple[Words, int]] = {}  # holding the mapping keeps its id from being given again
    for it in parts:
        _, shared, own = it
        answer = answers.get(id(shared))
        if answer is None:
            answer = answers[id(shared)] = shared, meets_shared(shared)
        if answer[1] and (meets_own is None or answer[1] & meets_own(own)):
            yield it


def _sieve(patterns: Collection[Pattern], shared: Collection[str]) -> Sieve:
    fields = {test.field for pattern in patterns for test in pattern.tests} - {PART}
    own = fields - set(shared)
    return Sieve(_meets(patterns, shared), _meets(patterns, own) if own else None)


def _meets(patterns: Collection[Pattern], fields: Collection[str]) -> Meets:
    return cast("Meets", PatternIndex([_only(it, fields) for it in patterns]).matched)


def _only(pattern: Pattern, fields: Collection[str]) -> Pattern:
    return Pattern(pattern.kind, tuple(test for test in pattern.tests if test.field in fields), ())
