"""Find faults inside rules: facts and words the vocabulary lacks, variables nobody binds, two asks of one fact."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping

from diag.rule_cases import owners
from knowledge.entries import ConditionFields, FieldShape, NumberBound, RuleCase, RuleEntry
from knowledge.faults import Fault, nearest, suggestion
from knowledge.load import Knowledge

VARIABLE = re.compile(r"\$[a-z][a-z0-9_]*")

Path = tuple[str | int, ...]
Note = tuple[Path, str]
"""Where in an entry, and what is wrong there."""


def lint_rules(knowledge: Knowledge) -> Iterator[Fault]:
    """Yield the faults of every rule and case."""
    deduced = {entry.derive for _, _, rules, _ in owners(knowledge) for entry in rules if entry.derive}
    for kind, owner, rules, cases in owners(knowledge):
        located = knowledge.files[f"{kind}:{owner}"]
        for path, message in (*_of_rules(knowledge, rules, deduced), *_of_cases(knowledge, rules, cases)):
            yield located.fault(path, message)


def _of_rules(knowledge: Knowledge, rules: Iterable[RuleEntry], deduced: set[str]) -> Iterator[Note]:
    seen: set[str] = set()
    for index, entry in enumerate(rules):
        path: Path = ("rules", index)
        if entry.id in seen:
            yield (*path, "id"), f"{entry.id} is used twice in this file; choose another id"
        seen.add(entry.id)
        yield from _of_conditions(knowledge, entry, path, deduced)
        yield from _of_variables(entry, path)


def _of_conditions(knowledge: Knowledge, entry: RuleEntry, path: Path, deduced: set[str]) -> Iterator[Note]:
    asked: list[tuple[str, ConditionFields]] = [pair for fact in entry.when for pair in fact.items()]
    if entry.suspect and not any(kind == "symptom" for kind, _ in asked):
        yield (*path, "when"), f"{entry.id} suspects a cause without asking for a symptom; add one"
    for place, (kind, fields) in enumerate(asked):
        at = (*path, "when", min(place, len(entry.when) - 1))
        if any(_same_fact(kind, fields, *other) for other in asked[:place]):
            yield at, f"{entry.id} asks twice for the same {kind} fact; put both conditions in one line"
        yield from _of_fields(knowledge, kind, fields, at, deduced)


def _same_fact(kind: str, fields: ConditionFields, other_kind: str, others: ConditionFields) -> bool:
    """Return whether two conditions can only be met by one fact: same kind and same part variable."""
    key = "part" if "part" in fields else None
    return kind == other_kind and key is not None and fields[key] == others.get(key) and kind != "symptom"


def _of_fields(knowledge: Knowledge, kind: str, fields: ConditionFields, at: Path, deduced: set[str]) -> Iterator[Note]:
    shape = knowledge.facts.get(kind)
    if shape is None:
        yield at, f"there is no fact {kind}{suggestion(nearest(kind, knowledge.facts)) or '.'}"
        return
    for field, value in fields.items():
        if field not in shape.fields:
            yield (*at, kind), f"{kind} has no field {field}{suggestion(nearest(field, shape.fields)) or '.'}"
            continue
        for word in _words(value):
            yield from _of_word(knowledge, shape.fields[field], f"{kind} {field}", word, (*at, kind, field), deduced)


def _words(value: str | list[str] | NumberBound) -> list[str]:
    if isinstance(value, NumberBound):
        return [value.not_] if value.not_ is not None else []
    return [value] if isinstance(value, str) else list(value)


def _of_word(
    knowledge: Knowledge, shape: FieldShape, what: str, word: str, at: Path, deduced: set[str]
) -> Iterator[Note]:
    if word.startswith("$"):
        return
    known = _known_words(knowledge, shape, deduced)
    if known is not None and word not in known:
        yield at, f"{what} is never {word}{suggestion(nearest(word, known)) or '.'}"


def _known_words(knowledge: Knowledge, shape: FieldShape, deduced: set[str]) -> list[str] | None:
    entries: Mapping[str, Iterable[str]] = {
        "symptom": knowledge.symptoms,
        "cause": knowledge.causes,
        "condition": knowledge.conditions,
    }
    if shape.entry:
        return list(entries[shape.entry])
    if shape.words is not None:
        return list(shape.words)
    return None if shape.part else sorted(deduced)


def _of_variables(entry: RuleEntry, path: Path) -> Iterator[Note]:
    bound = {
        value
        for fact in entry.when
        for fields in fact.values()
        for value in fields.values()
        if isinstance(value, str) and value.startswith("$")
    }
    said = VARIABLE.findall(entry.because) + VARIABLE.findall(entry.advise or "")
    for variable in dict.fromkeys([*([entry.at] if entry.at else []), *said]):
        if variable not in bound:
            yield (*path, "when"), f"{entry.id} uses {variable}, which no condition names"


def _of_cases(knowledge: Knowledge, rules: Iterable[RuleEntry], cases: Iterable[RuleCase]) -> Iterator[Note]:
    known = [entry.id for entry in rules]
    for index, case in enumerate(cases):
        for rule in (*case.fires, *case.not_fires):
            if rule not in known:
                yield ("cases", index), f"there is no rule {rule} in this file{suggestion(nearest(rule, known)) or '.'}"
        for place, given in enumerate(case.given):
            for kind, fields in given.items():
                yield from _of_given(knowledge, kind, fields, ("cases", index, "given", place))


def _of_given(knowledge: Knowledge, kind: str, fields: Mapping[str, str | float], at: Path) -> Iterator[Note]:
    shape = knowledge.facts.get(kind)
    if shape is None:
        yield at, f"there is no fact {kind}{suggestion(nearest(kind, knowledge.facts)) or '.'}"
        return
    for field, value in fields.items():
        if field not in shape.fields:
            yield (*at, kind), f"{kind} has no field {field}{suggestion(nearest(field, shape.fields)) or '.'}"
        elif shape.fields[field].words is not None and value not in (shape.fields[field].words or ()):
            yield (*at, kind, field), f"{kind} {field} is never {value}"
