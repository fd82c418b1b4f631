"""Work out when one set of conditions is sure to be met by what another set, or a case, says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from knowledge.entries import ConditionFields, NumberBound, RuleEntry

Asked = tuple[str, ConditionFields]
"""A kind of fact and what is asked of its fields, or what is known of them."""

Binding = Mapping[str, str]
"""What each variable stands for: a part, or a variable of the other rule."""


def covers(wide: RuleEntry, narrow: RuleEntry) -> bool:
    """Return whether the wide rule fires for the same part whenever the narrow one does."""
    bound: Binding = {}
    if wide.at is not None:
        if narrow.at is None:
            return False
        bound = {wide.at: narrow.at}
    return find_binding(conditions_of(wide), conditions_of(narrow), bound) is not None


def conditions_of(rule: RuleEntry) -> list[Asked]:
    """Return the conditions of a rule one by one."""
    return [pair for fact in rule.when for pair in fact.items()]


def find_binding(wanted: Sequence[Asked], known: Sequence[Asked], bound: Binding) -> Binding | None:
    """Return what the variables stand for when each wanted condition is met by its own known fact, or None."""
    if not wanted:
        return bound
    kind, fields = wanted[0]
    for place, (other_kind, other) in enumerate(known):
        met = _met(fields, other, bound, place) if kind == other_kind else None
        rest = None if met is None else find_binding(wanted[1:], [*known[:place], *known[place + 1 :]], met)
        if rest is not None:
            return rest
    return None


def _met(fields: ConditionFields, known: ConditionFields, bound: Binding, place: int) -> Binding | None:
    """Return the binding under which a fact of which only this is known is sure to meet the fields, or None."""
    now = dict(bound)
    for field, wanted in fields.items():
        if isinstance(wanted, str) and wanted.startswith("$"):
            value = known.get(field, f"?{place}-{field}")
            stands_for = value if isinstance(value, str) else f"?{place}-{field}"
            if now.setdefault(wanted, stands_for) != stands_for:
                return None
        elif field not in known or not _implied(wanted, known[field]):
            return None
    return now


def _implied(wanted: str | list[str] | NumberBound, known: str | list[str] | NumberBound) -> bool:
    words = _words(known)
    if isinstance(wanted, NumberBound):
        return wanted == known or bool(wanted.not_ and words and wanted.not_ not in words)
    return bool(words) and set(words) <= set(_words(wanted))


def _words(value: str | list[str] | NumberBound) -> list[str]:
    if isinstance(value, NumberBound) or (isinstance(value, str) and value.startswith("$")):
        return []
    return [value] if isinstance(value, str) else list(value)
