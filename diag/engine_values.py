"""Brings facts and rules to one form before they meet the engine: composed text, finite floats, no minus zero."""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Callable

from diag.engine_errors import FactRefused
from diag.rules import Condition, Fact, Rule, Template, Test, Value, fact


def normal_fact(given: Fact) -> Fact:
    """Return the fact itself when it is in normal form, else an equal fact that is; raise FactRefused."""
    if not given.kind.isascii():
        return _rebuilt(given)
    for name, value in given.fields:
        if not name.isascii():
            return _rebuilt(given)
        if type(value) is str:
            if not value.isascii():
                return _rebuilt(given)
        elif type(value) is not float or not value or value - value != 0.0:
            return _rebuilt(given)
    return given


def _rebuilt(given: Fact) -> Fact:
    try:
        return fact(_text(given.kind), {_text(name): normal_value(value) for name, value in given.fields})
    except ValueError as error:
        raise FactRefused(f"fact {given.kind!a} {dict(given.fields)!a}: {error}") from error


def normal_value(value: object) -> Value:
    """Return text in composed form, or any real number as a float; raise ValueError for anything else."""
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"{value!r} is neither text nor a number")
    if not math.isfinite(value):
        raise ValueError(f"{value!r} is not a finite number")
    return float(value) + 0.0


def _text(value: str) -> str:
    if value.isascii():
        return str.__str__(value)
    try:
        value.encode("utf-8")
    except UnicodeEncodeError as error:
        raise ValueError(f"{value!a} is not valid text") from error
    return unicodedata.normalize("NFC", value)


def normal_rule(rule: Rule) -> Rule:
    """Return the rule with every name and constant in normal form; raise ValueError when one has none."""
    return Rule(rule.code, tuple(map(_normal_condition, rule.when)), _normal_template(rule.then))


def _normal_condition(condition: Condition) -> Condition:
    return Condition(_text(condition.kind), tuple(map(_normal_test, condition.tests)))


def _normal_template(then: Template) -> Template:
    return Template(_text(then.kind), tuple((_text(name), normal_value(value)) for name, value in then.fields))


def _normal_test(test: Test) -> Test:
    check = _CONSTANTS.get(test.operator)
    if check is None:
        raise ValueError(f"{test.operator!r} is not an operator")
    return Test(_text(test.field), test.operator, check(test.value))


def _number(value: object) -> float:
    number = normal_value(value)
    if isinstance(number, str):
        raise ValueError(f"{value!r} is compared as a number and is text")
    return number


def _choices(value: object) -> tuple[str, ...]:
    if not isinstance(value, tuple) or not value or not all(isinstance(choice, str) for choice in value):
        raise ValueError(f"any-of takes at least one text, not {value!r}")
    return tuple(sorted({_text(choice) for choice in value}))


def _variable(value: object) -> str:
    if not isinstance(value, str) or not value.removeprefix("$"):
        raise ValueError(f"same-as takes the name of a variable, not {value!r}")
    return _text(value.removeprefix("$"))


_CONSTANTS: dict[str, Callable[[object], Value | tuple[str, ...]]] = {
    "is": normal_value,
    "is-not": normal_value,
    "any-of": _choices,
    "same-as": _variable,
    "above": _number,
    "at-least": _number,
    "below": _number,
    "at-most": _number,
}
