"""Applies rules the slow and obvious way, straight from the words of the rule language."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from diag.rules import Condition, Fact, Firing, Rule, Test, fact


def match_naively(rules: Sequence[Rule], facts: Iterable[Fact]) -> set[Firing]:
    """Return every firing, trying all facts on all conditions until nothing new follows."""
    known, firings = set(facts), set()
    while True:
        found = {firing for rule in rules for firing in _firings(rule, known)}
        if found <= firings:
            return firings
        firings |= found
        known |= {firing.derived for firing in found}


def _firings(rule: Rule, facts: Iterable[Fact]) -> Iterator[Firing]:
    for premises, bound in _matches(rule.when, list(facts), (), {}):
        values = {name: bound[value[1:]] if _is_variable(value) else value for name, value in rule.then.fields}
        yield Firing(rule.code, premises, fact(rule.then.kind, values))


def _is_variable(value: object) -> bool:
    return isinstance(value, str) and value.startswith("$")


def _matches(
    when: Sequence[Condition], facts: Sequence[Fact], taken: tuple[Fact, ...], bound: Mapping[str, object]
) -> Iterator[tuple[tuple[Fact, ...], Mapping[str, object]]]:
    if not when:
        yield taken, bound
        return
    for one in facts:
        if one.kind == when[0].kind and one not in taken:
            agreed = _agree(when[0].tests, one, bound)
            if agreed is not None:
                yield from _matches(when[1:], facts, (*taken, one), agreed)


def _agree(tests: Iterable[Test], one: Fact, bound: Mapping[str, object]) -> Mapping[str, object] | None:
    agreed = dict(bound)
    values = dict(one.fields)
    for test in tests:
        if test.field not in values or not _met(test, values[test.field], agreed):
            return None
    return agreed


def _met(test: Test, value: object, bound: dict[str, object]) -> bool:
    if test.operator == "same-as":
        variable = str(test.value).removeprefix("$")
        return isinstance(value, str) and bound.setdefault(variable, value) == value
    if test.operator in ("is", "is-not"):
        equal = type(value) is type(test.value) and value == test.value
        return equal == (test.operator == "is")
    if test.operator == "any-of":
        return value in test.value
    if isinstance(value, str):
        return False
    limit = test.value
    return {"above": value > limit, "at-least": value >= limit, "below": value < limit, "at-most": value <= limit}[
        test.operator
    ]
