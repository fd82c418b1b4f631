"""The rule language as values: facts, conditions on their fields, and what a rule derives."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

Value = str | float
"""What a field may hold: text, or a number that is always a float."""

Operator = Literal["is", "is-not", "any-of", "same-as", "above", "at-least", "below", "at-most"]

UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, order=True)
class Fact:
    """One flat statement: a kind and its fields, sorted by name, so that equal facts compare equal."""

    kind: str
    fields: tuple[tuple[str, Value], ...]
    _hash: int = field(default=0, init=False, repr=False, compare=False)

    def __hash__(self) -> int:
        # Facts of a site are met again in every diagnosis of it; hashing their many fields anew would cost most of it.
        if not self._hash:
            object.__setattr__(self, "_hash", hash((self.kind, self.fields)))
        return self._hash

    def __reduce__(self) -> tuple[type[Fact], tuple[str, tuple[tuple[str, Value], ...]]]:
        return Fact, (self.kind, self.fields)  # texts hash otherwise in another process

    def __getitem__(self, field_name: str) -> Value:
        for name, value in self.fields:
            if name == field_name:
                return value
        raise KeyError(field_name)

    def get(self, field_name: str, default: Value = UNKNOWN) -> Value:
        """Return the field's value, or the default when the fact has no such field."""
        return next((value for name, value in self.fields if name == field_name), default)


def fact(kind: str, fields: Mapping[str, Value]) -> Fact:
    """Build a fact from a mapping; field order in the mapping does not matter."""
    return Fact(kind, tuple(sorted(fields.items())))


@dataclass(frozen=True, slots=True)
class Test:
    """A comparison of one field: with a constant, with several (any-of), or with a variable (same-as).

    The first condition that mentions a variable binds it; every later mention must be equal to it.
    Variables compare text fields only; above, at-least, below and at-most compare float fields with float constants.
    A fact that lacks the field meets no test, is-not included; `unknown` is a text like any other.
    """

    __test__ = False
    """Not a test case, whatever a test runner makes of the name."""

    field: str
    operator: Operator
    value: Value | tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Condition:
    """A fact of this kind for which every test holds."""

    kind: str
    tests: tuple[Test, ...] = ()


@dataclass(frozen=True, slots=True)
class Template:
    """The fact a rule derives: each field a constant, or a variable written with a leading `$`."""

    kind: str
    fields: tuple[tuple[str, Value], ...]


@dataclass(frozen=True, slots=True)
class Rule:
    """When every condition is met by facts that agree on the variables, the derived fact holds.

    Conditions of one rule are met by different facts; no condition asks for an absence.
    """

    code: str
    when: tuple[Condition, ...]
    then: Template


@dataclass(frozen=True, slots=True, order=True)
class Firing:
    """One way in which a rule's conditions were met: its premises in the order of the conditions, and what follows."""

    rule: str
    premises: tuple[Fact, ...]
    derived: Fact
