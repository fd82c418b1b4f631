"""Find faults inside rules: facts and words the vocabulary lacks, variables nobody binds, two asks of one fact."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence

from diag.lint_vocabulary import Note, Path, note_fact
from diag.rule_cases import owners
from knowledge.entries import ConditionFields, NumberBound, RuleCase, RuleEntry
from knowledge.faults import Fault, nearest, suggestion
from knowledge.load import Knowledge

VARIABLE = re.compile(r"\$[a-z][a-z0-9_]*")
PART_KIND_FIELDS = frozenset({"part_kind", "source_kind", "consumer_kind"})
"""Fields that say which kind of part stands in the field beside them."""


def lint_rules(knowledge: Knowledge) -> Iterator[Fault]:
    """Yield the faults of every rule and case."""
    deduced = {entry.derive for _, _, rules, _ in owners(knowledge) for entry in rules if entry.derive}
    for kind, owner, rules, cases in owners(knowledge):
        located = knowledge.files[f"{kind}:{owner}"]
        seat = knowledge.causes[owner].sits_at if kind == "Cause" else None
        for path, message in (
            *_of_rules(knowledge, rules, deduced, seat),
            *_of_cases(knowledge, rules, cases, deduced),
        ):
            yield located.fault(path, message)


def _of_rules(
    knowledge: Knowledge, rules: Iterable[RuleEntry], deduced: set[str], sits_at: str | None
) -> Iterator[Note]:
    seen: set[str] = set()
    for index, entry in enumerate(rules):
        path: Path = ("rules", index)
        if entry.id in seen:
            yield (*path, "id"), f"{entry.id} is used twice in this file; choose another id"
        seen.add(entry.id)
        yield from _of_conditions(knowledge, entry, path, deduced)
        yield from _of_variables(entry, path)
        yield from _of_seat(knowledge, entry, path, sits_at)


def _of_conditions(knowledge: Knowledge, entry: RuleEntry, path: Path, deduced: set[str]) -> Iterator[Note]:
    asked: list[tuple[str, ConditionFields]] = [pair for fact in entry.when for pair in fact.items()]
    if entry.suspect and not any(kind == "symptom" for kind, _ in asked):
        yield (*path, "when"), f"{entry.id} suspects a cause without asking for a symptom; add one"
    for place, (kind, fields) in enumerate(asked):
        at = (*path, "when", min(place, len(entry.when) - 1))
        if any(_same_fact(kind, fields, *other) for other in asked[:place]):
            yield at, f"{entry.id} asks twice for the same {kind} fact; put both conditions in one line"
        asked_words = {field: _words(value) for field, value in fields.items()}
        yield from _placed(at, note_fact(knowledge, kind, asked_words, deduced))
        if kind == "symptom":
            yield from _placed(at, _of_abouts(knowledge, asked_words))


def _of_abouts(knowledge: Knowledge, words: Mapping[str, Sequence[str]]) -> Iterator[Note]:
    """Yield the symptoms that are never noticed at the kind of part the condition asks for."""
    kinds = words.get("part_kind", ())
    for symptom in words.get("symptom", ()):
        about = knowledge.symptoms[symptom].about if symptom in knowledge.symptoms else kinds
        if kinds and not set(kinds) & set(about):
            message = f"{symptom} is never about a {' or '.join(kinds)}; it is about a {' or '.join(about)}"
            yield ("symptom", "part_kind"), message


def _same_fact(kind: str, fields: ConditionFields, other_kind: str, others: ConditionFields) -> bool:
    """Return whether two conditions can only be met by one fact: same kind and same part variable."""
    key = "part" if "part" in fields else None
    return kind == other_kind and key is not None and fields[key] == others.get(key) and kind != "symptom"


def _words(value: str | list[str] | NumberBound) -> list[str]:
    if isinstance(value, NumberBound):
        return [value.not_] if value.not_ is not None else []
    return [value] if isinstance(value, str) else list(value)


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


def _of_seat(knowledge: Knowledge, entry: RuleEntry, path: Path, sits_at: str | None) -> Iterator[Note]:
    """Yield a fault where a rule speaks of the cause at a kind of part that it does not sit at."""
    if sits_at is None or entry.at is None or entry.advise or entry.derive:
        return
    kinds = _kinds_meant(knowledge, entry)
    if kinds and sits_at not in kinds:
        message = f"{entry.id} puts the cause at {entry.at}, a {' or '.join(sorted(kinds))}, but it sits at a {sits_at}"
        yield (*path, "at"), f"{message}; name the {sits_at} in `at`, or change `sits-at`"


def _kinds_meant(knowledge: Knowledge, entry: RuleEntry) -> set[str] | None:
    """Return the kinds of part that the variable in `at` can stand for, by all the fields that hold it."""
    meant: set[str] | None = None
    for kind, fields in (pair for fact in entry.when for pair in fact.items()):
        for field, value in fields.items():
            shape = knowledge.facts[kind].fields.get(field) if kind in knowledge.facts else None
            if value == entry.at and shape and shape.part:
                said = fields.get(f"{field}_kind") if f"{field}_kind" in PART_KIND_FIELDS else None
                kinds = {str(it) for it in shape.part if said is None or it in _words(said)}
                meant = kinds if meant is None else meant & kinds
    return meant


def _of_cases(
    knowledge: Knowledge, rules: Iterable[RuleEntry], cases: Iterable[RuleCase], deduced: set[str]
) -> Iterator[Note]:
    known = [entry.id for entry in rules]
    for index, case in enumerate(cases):
        for rule in (*case.fires, *case.not_fires):
            if rule not in known:
                yield ("cases", index), f"there is no rule {rule} in this file{suggestion(nearest(rule, known)) or '.'}"
        for place, given in enumerate(case.given):
            for kind, fields in given.items():
                words = {field: [value] if isinstance(value, str) else [] for field, value in fields.items()}
                yield from _placed(("cases", index, "given", place), note_fact(knowledge, kind, words, deduced))


def _placed(at: Path, notes: Iterable[Note]) -> Iterator[Note]:
    return (((*at, *path), message) for path, message in notes)
