"""Turn rule entries into engine rules, one chapter for each symptom with only the rules it can reach."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from diag.rules import Condition, Rule, Template, Test
from knowledge.entries import ConditionFields, NumberBound, RuleEntry
from knowledge.load import Knowledge

ANY_PART = "any"
SYMPTOM, ABOUT = "$_symptom", "$_about"

Owned = tuple[str, RuleEntry]
"""A rule entry with the id of the cause or topic whose file it stands in."""


def rule_code(owner: str, entry: RuleEntry) -> str:
    """Return the name of a rule over the whole knowledge base."""
    return f"{owner}/{entry.id}"


def all_rules(knowledge: Knowledge) -> Iterator[Owned]:
    """Yield every rule entry with its owner, in order."""
    for cause in knowledge.causes.values():
        yield from ((cause.id, entry) for entry in cause.rules)
    for topic, deduction in knowledge.deductions.items():
        yield from ((topic, entry) for entry in deduction.rules)


def compile_chapters(knowledge: Knowledge) -> dict[str, tuple[Rule, ...]]:
    """Return, for each symptom, the rules that can fire when it is observed."""
    rules = list(all_rules(knowledge))
    return {symptom: tuple(compile_rule(*it) for it in _reached(symptom, rules)) for symptom in knowledge.symptoms}


def compile_rule(owner: str, entry: RuleEntry) -> Rule:
    """Return the engine rule of one entry."""
    when = tuple(_condition(kind, fields) for fact in entry.when for kind, fields in fact.items())
    if entry.suspect:
        when = tuple(_with_symptom_bound(condition) for condition in when)
    return Rule(rule_code(owner, entry), when, _derived(owner, entry))


def symptoms_asked(entry: RuleEntry) -> frozenset[str]:
    """Return the symptoms that the rule's conditions name; empty when it asks for none."""
    asked = [fields.get("symptom", ()) for fact in entry.when for kind, fields in fact.items() if kind == "symptom"]
    return frozenset(name for names in asked for name in ([names] if isinstance(names, str) else _words(names)))


def _words(names: object) -> Iterable[str]:
    return names if isinstance(names, list | tuple) else ()


def _reached(symptom: str, rules: Sequence[Owned]) -> list[Owned]:
    suspects = [it for it in rules if it[1].suspect and symptom in symptoms_asked(it[1])]
    causes = {owner for owner, _ in suspects}
    weights = [it for it in rules if (it[1].weigh or it[1].exclude) and it[0] in causes]
    advice = [it for it in rules if it[1].advise and symptoms_asked(it[1]) <= {symptom, *symptoms_asked(it[1])}]
    advice = [it for it in advice if not symptoms_asked(it[1]) or symptom in symptoms_asked(it[1])]
    return suspects + weights + advice + _deductions_used(rules, suspects + weights + advice)


def _deductions_used(rules: Sequence[Owned], users: Sequence[Owned]) -> list[Owned]:
    used: list[Owned] = []
    wanted = {what for _, entry in users for what in _deduced_asked(entry)}
    while fresh := [it for it in rules if it[1].derive in wanted and it not in used]:
        used += fresh
        wanted |= {what for _, entry in fresh for what in _deduced_asked(entry)}
    return used


def _deduced_asked(entry: RuleEntry) -> Iterator[str]:
    for fact in entry.when:
        what = fact.get("deduced", {}).get("what")
        yield from [what] if isinstance(what, str) else _words(what)


def _condition(kind: str, fields: ConditionFields) -> Condition:
    return Condition(kind, tuple(test for name, value in fields.items() for test in _tests(name, value)))


def _tests(field: str, value: str | list[str] | NumberBound) -> Iterator[Test]:
    if isinstance(value, str):
        yield Test(field, "same-as" if value.startswith("$") else "is", value)
    elif isinstance(value, list):
        yield Test(field, "any-of", tuple(value))
    else:
        yield from _bounds(field, value)


def _bounds(field: str, bound: NumberBound) -> Iterator[Test]:
    if bound.not_ is not None:
        yield Test(field, "is-not", bound.not_)
    if bound.above is not None:
        yield Test(field, "above", float(bound.above))
    if bound.at_least is not None:
        yield Test(field, "at-least", float(bound.at_least))
    if bound.below is not None:
        yield Test(field, "below", float(bound.below))
    if bound.at_most is not None:
        yield Test(field, "at-most", float(bound.at_most))


def _with_symptom_bound(condition: Condition) -> Condition:
    if condition.kind != "symptom":
        return condition
    return Condition("symptom", (*condition.tests, Test("symptom", "same-as", SYMPTOM), Test("part", "same-as", ABOUT)))


def _derived(owner: str, entry: RuleEntry) -> Template:
    part = entry.at or ANY_PART
    fields: Mapping[str, str]
    if entry.suspect:
        kind, fields = "suspicion", {"cause": owner, "part": part, "symptom": SYMPTOM, "about": ABOUT}
    elif entry.weigh:
        kind, fields = "weight", {"cause": owner, "part": part, "by": entry.weigh}
    elif entry.exclude:
        kind, fields = "exclusion", {"cause": owner, "part": part}
    elif entry.derive:
        kind, fields = "deduced", {"what": entry.derive, "part": part}
    else:
        kind, fields = "advice", {"rule": rule_code(owner, entry), "part": part}
    return Template(kind, tuple(sorted(fields.items())))
