"""Find rules that can never fire on a site: the parts they ask for are nowhere joined as they ask."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from diag.condition_cover import Asked, conditions_of
from diag.lint_grounds import Facts, Ground, grounds
from diag.rules import UNKNOWN, Value
from knowledge.entries import RuleEntry
from knowledge.faults import Fault
from knowledge.load import Knowledge

Bound = Mapping[str, str]
Suspicion = tuple[str, int, RuleEntry]
"""The cause, the place of the rule in its file, and the rule."""

TOLD: Sequence[Mapping[str, Value]] = ({},)
"""Whatever may be told is taken as told."""


def lint_reach(knowledge: Knowledge) -> Iterator[Fault]:
    """Yield each suspicion that no part of a demo site, nor a stand-in, can meet."""
    waiting = [
        (cause.id, index, rule)
        for cause in knowledge.causes.values()
        for index, rule in enumerate(cause.rules)
        if rule.suspect
    ]
    for ground in grounds(knowledge):
        waiting = [it for it in waiting if not can_fire(knowledge, ground, it[2])]
    for cause, index, rule in waiting:
        message = (
            f"{rule.id} fires on no demo site and for no stand-in; ask only for parts that are joined to the one with"
            " the symptom, by fields that name parts"
        )
        yield knowledge.files[f"Cause:{cause}"].fault(("rules", index, "when"), message)


def can_fire(knowledge: Knowledge, ground: Ground, rule: RuleEntry) -> bool:
    """Return whether the rule can fire where the fields that only describe a part hold any of their words."""
    asked = conditions_of(rule)
    first = next((fields for kind, fields in asked if kind == "symptom"), None)
    if first is None:
        return False
    rest = [it for it in asked if it[1] is not first]
    kinds = first.get("part_kind") or [kind for it in _words(first.get("symptom")) for kind in _about(knowledge, it)]
    about = first.get("part")
    starts = (part for kind in _words(kinds) for part in ground.parts(kind))
    return any(_met(rest, ground, part, {about: part} if isinstance(about, str) else {}) for part in starts)


def _words(value: object) -> Sequence[str]:
    return [value] if isinstance(value, str) else value if isinstance(value, list) else []


def _about(knowledge: Knowledge, symptom: str) -> Sequence[str]:
    return knowledge.symptoms[symptom].about if symptom in knowledge.symptoms else ()


def _met(asked: Sequence[Asked], ground: Ground, start: str, bound: Bound) -> bool:
    if not asked:
        return True
    kind, fields = asked[0]
    for known in _known(ground, start, kind):
        now = _agreed(fields, known, bound)
        if now is not None and _met(asked[1:], ground, start, now):
            return True
    return False


def _known(ground: Ground, start: str, kind: str) -> Sequence[Mapping[str, Value]]:
    facts: Facts = ground.facts(start)
    if kind == "told":
        return TOLD
    if kind in ("symptom", "deduced"):
        scope = ground.scope
        return [{"part": part, "part_kind": scope.kind(part)} for part in ground.closure(start)]
    return facts.get(kind, ())


def _agreed(fields: Mapping[str, object], known: Mapping[str, Value], bound: Bound) -> Bound | None:
    """Return what the variables stand for when the fact can meet the fields, or None."""
    now = dict(bound)
    for name, wanted in fields.items():
        value = known.get(name)
        if isinstance(wanted, str) and wanted.startswith("$"):
            if value == UNKNOWN or (value is not None and now.setdefault(wanted, str(value)) != value):
                return None
        elif value is not None and _is_kind(name) and value not in (UNKNOWN, *_words(wanted)) and _words(wanted):
            return None
    return now


def _is_kind(field: str) -> bool:
    """Return whether a field says what kind of part a fact is about, rather than how that part is."""
    return field == "kind" or field.endswith("_kind")
