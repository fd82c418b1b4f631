"""Runs rules of the rule language in CLIPS, through clipspy: the outside engine that ours has to agree with."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import clips

from diag.rules import Condition, Fact, Firing, Rule, Test, Value, fact

COMPARISONS = {"above": ">", "at-least": ">=", "below": "<", "at-most": "<="}
LITERALS = {
    "is": lambda value: value,
    "is-not": lambda value: f"~{value}&~nil",
    "any-of": lambda *values: "|".join(values),
}


class ClipsEngine:
    """The rules of one chapter in a CLIPS environment of their own; `fields` names the slots of every kind."""

    def __init__(self, rules: Sequence[Rule], fields: Mapping[str, Iterable[str]], premises: bool = True) -> None:
        self._rules = rules
        self._matches: list[tuple[int, ...]] = []
        self._environment = clips.Environment()
        self._environment.define_function(self._record, name="record")
        self._names = {kind: {slot(name): name for name in names} for kind, names in fields.items()}
        for kind, names in self._names.items():
            slots = " ".join(f"(slot {name} (default nil))" for name in names)
            self._environment.build(f"(deftemplate {kind} {slots})")
        self._templates = {kind: self._environment.find_template(kind) for kind in fields}
        for number, rule in enumerate(rules):
            self._environment.build(defrule(number, rule, premises))

    def _record(self, *numbers: int) -> None:
        self._matches.append(numbers)

    def run(self, facts: Iterable[Fact]) -> tuple[Firing, ...]:
        """Return every firing, sorted; needs the premises recorded."""
        self._matches.clear()
        derived = self.derive(facts)
        by_index = {one.index: self._fact(one) for one in derived}
        firings = {self._firing(by_index, *numbers) for numbers in self._matches}
        return tuple(sorted(firings, key=repr))

    def derive(self, facts: Iterable[Fact]) -> list[clips.TemplateFact]:
        """Run to the fixpoint and return all facts of the environment, given and derived."""
        self._environment.reset()
        for given in facts:
            self._templates[given.kind].assert_fact(**{slot(name): value for name, value in given.fields})
        self._environment.run()
        return [one for one in self._environment.facts() if one.template.name in self._names]

    def _fact(self, one: clips.TemplateFact) -> Fact:
        names = self._names[one.template.name]
        values = {names[name]: value for name, value in dict(one).items() if not isinstance(value, clips.Symbol)}
        return fact(one.template.name, values)

    def _firing(self, facts: Mapping[int, Fact], number: int, derived: int, *premises: int) -> Firing:
        return Firing(self._rules[number].code, tuple(facts[premise] for premise in premises), facts[derived])


def slot(field: str) -> str:
    """Return the slot name of a field."""
    return f"s-{field}"


def defrule(number: int, rule: Rule, premises: bool) -> str:
    """Return the rule in the language of CLIPS; with premises, it also records what it matched."""
    names: dict[str, str] = {}
    lines = []
    for i, condition in enumerate(rule.when):
        others = "".join(f"(test (neq ?f{j} ?f{i}))" for j in range(i) if rule.when[j].kind == condition.kind)
        lines.append(f"?f{i} <- ({condition.kind} {_slots(i, condition, names)}) {others}")
    values = " ".join(f"({slot(name)} {_derived(value, names)})" for name, value in rule.then.fields)
    action = f"(assert ({rule.then.kind} {values}))"
    if premises:
        indexes = " ".join(f"(fact-index ?f{i})" for i in range(len(rule.when)))
        action = f"(record {number} (fact-index {action}) {indexes})"
    return f"(defrule r{number} {' '.join(lines)} => {action})"


def _slots(i: int, condition: Condition, names: dict[str, str]) -> str:
    fields: dict[str, list[Test]] = {}
    for test in sorted(condition.tests, key=lambda test: test.operator != "same-as"):
        fields.setdefault(test.field, []).append(test)
    return " ".join(f"({slot(name)} {_constraints(i, tests, names)})" for name, tests in fields.items())


def _constraints(i: int, tests: Sequence[Test], names: dict[str, str]) -> str:
    """Return the constraint of one slot: literals where it has one test, else functions of a variable.

    CLIPS 6.4 forgets to compare a variable with its earlier place when a literal stands beside it. It binds one
    variable in a slot, so that a second one that starts there goes by the name of the first.
    """
    if len(tests) == 1 and tests[0].operator in LITERALS:
        return LITERALS[tests[0].operator](*map(_constant, _values(tests[0])))
    own = f"?c{i}-{tests[0].field}"
    if tests[0].operator == "same-as":
        own = names.setdefault(_variable(tests[0]), f"?v-{_variable(tests[0])}")
    parts = [own]
    for test in tests:
        equal = names.setdefault(_variable(test), own) if test.operator == "same-as" else own
        parts += [f":(eq {own} {equal})"] if equal != own else []
        parts.append(f":{_function(own, test)}")
    return "&".join(parts)


def _variable(test: Test) -> str:
    return str(test.value).removeprefix("$")


def _function(variable: str, test: Test) -> str:
    values = " ".join(map(_constant, _values(test)))
    return {
        "same-as": f"(stringp {variable})",
        "is": f"(eq {variable} {values})",
        "is-not": f"(and (neq {variable} {values}) (neq {variable} nil))",
        "any-of": f"(member$ {variable} (create$ {values}))",
    }.get(test.operator) or f"(and (floatp {variable}) ({COMPARISONS[test.operator]} {variable} {values}))"


def _values(test: Test) -> tuple[Value, ...]:
    return test.value if isinstance(test.value, tuple) else (test.value,)


def _constant(value: Value) -> str:
    return repr(value) if isinstance(value, float) else '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _derived(value: Value, names: Mapping[str, str]) -> str:
    return names[value[1:]] if isinstance(value, str) and value.startswith("$") else _constant(value)
