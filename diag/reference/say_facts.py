"""Put facts, conditions and reasons into words for a page about an entry."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping

from diag.condition_cover import conditions_of, find_binding
from knowledge.entries import ConditionFields, NumberBound, RuleCase, RuleEntry
from knowledge.load import Knowledge

VARIABLE = re.compile(r"\$[a-z][a-z0-9_]*")
BOUNDS: Mapping[str, str] = {"above": "above", "at_least": "at least", "below": "below", "at_most": "at most"}

ENDS = ("source", "consumer", "zone", "opening", "drive", "input")
"""Fields of the facts that relate two parts."""

Names = Mapping[str, str]
"""What a part or a variable is called in a text."""


def say_conditions(knowledge: Knowledge, rule: RuleEntry) -> list[str]:
    """Return what a rule asks for, a sentence a fact; parts are named by kind and letter, such as cable C."""
    names = variable_names(knowledge, rule)
    return [_say_fact(knowledge, kind, fields, names) for kind, fields in conditions_of(rule)]


def say_reason(knowledge: Knowledge, rule: RuleEntry, names: Names | None = None) -> str:
    """Return why a rule speaks, with its variables named; also its advice, where it gives any."""
    known = {**variable_names(knowledge, rule), **(names or {})}
    said = f"{rule.advise} {rule.because}" if rule.advise else rule.because
    filled = VARIABLE.sub(lambda found: known.get(found[0], "the part"), said)
    return re.sub(r"(^|[.?] )([a-z])", lambda found: found[1] + found[2].upper(), filled)


def say_given(knowledge: Knowledge, case: RuleCase) -> list[str]:
    """Return what a case takes as known, a sentence a fact."""
    names = part_names(knowledge, case)
    return [_say_fact(knowledge, kind, fields, names) for kind, fields in _facts(case)]


def names_in_case(knowledge: Knowledge, rule: RuleEntry, case: RuleCase) -> Names:
    """Return what a rule's variables stand for in a case in which it fires; empty when the case alone is silent."""
    shapes = knowledge.facts
    known = [
        (kind, {**dict.fromkeys(shapes[kind].fields if kind in shapes else (), "unknown"), **fields})
        for kind, fields in _facts(case)
    ]
    bound = find_binding(conditions_of(rule), known, {}) or {}
    parts = part_names(knowledge, case)
    return {variable: parts.get(part, part) for variable, part in bound.items()}


def variable_names(knowledge: Knowledge, rule: RuleEntry) -> Names:
    """Return each variable of a rule as kind and letter."""
    kinds = dict(_kinds(knowledge, conditions_of(rule), lambda value: value.startswith("$")))
    return {variable: f"{kind} {variable[1:].upper()}" for variable, kind in kinds.items()}


def part_names(knowledge: Knowledge, case: RuleCase) -> Names:
    """Return each part of a case with its kind in front."""
    kinds = dict(_kinds(knowledge, _facts(case), lambda value: value != "unknown"))
    return {part: f"{kind} {part}" for part, kind in kinds.items()}


def _facts(case: RuleCase) -> list[tuple[str, ConditionFields]]:
    return [
        (kind, {name: str(value) for name, value in fields.items()}) for it in case.given for kind, fields in it.items()
    ]


def _kinds(
    knowledge: Knowledge, facts: Iterable[tuple[str, ConditionFields]], is_part: object
) -> Iterator[tuple[str, str]]:
    """Yield each part with its kind; a fact that leaves the kind open gives way to one that tells it."""
    later: list[tuple[str, str]] = []
    for kind, fields in facts:
        shape = knowledge.facts.get(kind)
        for field, value in fields.items():
            allowed = shape.fields[field].part if shape and field in shape.fields else None
            if not allowed or not isinstance(value, str) or not is_part(value):  # type: ignore[operator]
                continue
            said = fields.get(f"{field}_kind")
            if isinstance(said, str) and not said.startswith("$"):
                later.append((value, said))
            elif len(allowed) == 1:
                later.append((value, allowed[0]))
            else:
                yield value, "part"
    yield from later


def _say_fact(knowledge: Knowledge, kind: str, fields: ConditionFields, names: Names) -> str:
    if kind == "symptom":
        return f"Noticed: {_entry_names(knowledge, fields.get('symptom'))}{_at(fields, names)}."
    if kind == "told":
        return f"Said: {_entry_names(knowledge, fields.get('condition'))}."
    if kind in ("feeds", "serves", "moved-by", "commands"):
        return f"{_relation(kind, fields, names)}{_rest(fields, ENDS)}."
    if kind == "deduced":
        return f"Deduced: {_value(fields.get('what', ''), names)}{_at(fields, names)}."
    part = fields.get("part")
    subject = names.get(part, part) if isinstance(part, str) else f"any {kind}"
    return f"{str(subject)[:1].upper()}{str(subject)[1:]}{_rest(fields, ('part',))}."


def _relation(kind: str, fields: ConditionFields, names: Names) -> str:
    ends = {
        "feeds": ("source", "feeds", "consumer"),
        "serves": ("source", "feeds parts of", "zone"),
        "moved-by": ("opening", "is moved by", "drive"),
        "commands": ("input", "commands", "zone"),
    }
    one, verb, other = ends[kind]
    first = _value(fields.get(one, f"a {one}"), names)
    return f"{first[:1].upper()}{first[1:]} {verb} {_value(fields.get(other, f'a {other}'), names)}"


def _at(fields: ConditionFields, names: Names) -> str:
    part = fields.get("part")
    if part is None:
        return ""
    return f", at {_value(part, names)}"


def _rest(fields: ConditionFields, left_out: Iterable[str]) -> str:
    gone = {*left_out, *(f"{it}_kind" for it in left_out)}
    said = [(name.replace("_", " "), value) for name, value in fields.items() if name not in gone]
    return "".join(f"; {name}: {value}" for name, value in ((it, _said_value(value)) for it, value in said))


def _said_value(value: str | list[str] | NumberBound) -> str:
    return _value(value, {}) if not (isinstance(value, str) and value.startswith("$")) else value[1:].upper()


def _value(value: str | list[str] | NumberBound, names: Names) -> str:
    if isinstance(value, NumberBound):
        if value.not_ is not None:
            return f"not {value.not_}"
        limits = ((word, getattr(value, field)) for field, word in BOUNDS.items())
        return " and ".join(f"{word} {limit:g}" for word, limit in limits if limit is not None)
    if isinstance(value, list):
        return " or ".join(value)
    return names.get(value, value)


def _entry_names(knowledge: Knowledge, value: str | list[str] | NumberBound | None) -> str:
    ids = [value] if isinstance(value, str) else list(value) if isinstance(value, list) else []
    names = {it.id: it.name for it in knowledge.symptoms.values()}
    names |= {it.id: it.name for it in knowledge.conditions.values()}
    return " or ".join(f"“{names[it]}”" if it in names else it for it in ids) or "anything"
