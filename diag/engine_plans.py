"""Turns one rule into a plan: patterns for single facts, joins between facts, and how to build the derived fact."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from diag.engine_patterns import Pattern
from diag.engine_values import normal_rule
from diag.rules import Condition, Fact, Rule, Template, Test, Value

MOST_CONDITIONS = 16
"""A match of the package holds sixteen facts."""
MOST_JOINS = 28
"""A condition of the package holds 31 expressions, two of them brackets."""


class Place(NamedTuple):
    """Where a variable is bound: a field of the fact that meets the condition of this number."""

    condition: int
    field: str


@dataclass(frozen=True, slots=True)
class Plan:
    """A rule ready to compile; `joins[i]` pairs fields of condition i with earlier places of the same text."""

    code: str
    patterns: tuple[Pattern, ...]
    joins: tuple[tuple[tuple[str, Place], ...], ...]
    kind: str
    sources: tuple[tuple[str, Value | Place], ...]

    def derive(self, premises: Sequence[Fact]) -> Fact:
        """Build the derived fact from the facts that met the conditions, in the order of the conditions."""
        return Fact(self.kind, tuple((name, _value(source, premises)) for name, source in self.sources))


def _value(source: Value | Place, premises: Sequence[Fact]) -> Value:
    return premises[source.condition][source.field] if isinstance(source, Place) else source


def plan_rule(given: Rule) -> Plan:
    """Plan one rule; raise ValueError saying what is wrong with it."""
    rule = normal_rule(given)
    if not 1 <= len(rule.when) <= MOST_CONDITIONS:
        raise ValueError(f"{len(rule.when)} conditions, and 1 to {MOST_CONDITIONS} are possible")
    bound: dict[str, Place] = {}
    patterns, joins = [], []
    for number, condition in enumerate(rule.when):
        pattern, join = _split(number, condition, bound)
        if len(join) > MOST_JOINS:
            raise ValueError(f"{len(join)} joins in condition {number + 1}, and {MOST_JOINS} are possible")
        patterns.append(pattern)
        joins.append(join)
    return Plan(rule.code, tuple(patterns), tuple(joins), rule.then.kind, _sources(rule.then, bound))


def _split(number: int, condition: Condition, bound: dict[str, Place]) -> tuple[Pattern, tuple[tuple[str, Place], ...]]:
    """Split a condition into what one fact must meet and what joins it to others; note variables it binds."""
    equal: list[tuple[str, str]] = []
    joins: list[tuple[str, Place]] = []
    for test in condition.tests:
        if test.operator != "same-as":
            continue
        place = bound.setdefault(str(test.value), Place(number, test.field))
        if place.condition != number:
            joins.append((test.field, place))
        elif place.field != test.field:
            equal.append((place.field, test.field))
    tests = {Test(test.field, "same-as", "") if test.operator == "same-as" else test for test in condition.tests}
    return Pattern(condition.kind, tuple(sorted(tests, key=repr)), tuple(sorted(equal))), tuple(joins)


def _sources(then: Template, bound: dict[str, Place]) -> tuple[tuple[str, Value | Place], ...]:
    names = [name for name, _ in then.fields]
    if len(set(names)) != len(names):
        raise ValueError("the derived fact names a field twice")
    return tuple((name, _source(value, bound)) for name, value in sorted(then.fields, key=lambda field: field[0]))


def _source(value: Value, bound: dict[str, Place]) -> Value | Place:
    if not isinstance(value, str) or not value.startswith("$"):
        return value
    if value[1:] not in bound:
        raise ValueError(f"no condition binds {value}")
    return bound[value[1:]]
