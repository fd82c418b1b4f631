"""Lays the rules of a chapter out as rulesets of the engine package, each inside the package's limits.

Rules with the same first pattern form a group, which sleeps until a fact meets that pattern. A fact is handed over
for the groups that are awake: it names its kind and, for each group, the patterns it meets (`"k0":1,"p3":1`), and it
carries a number for each text that is joined (`"f2":17`). The package tests that properties are there, joins the
numbers, keeps the premises apart and returns the matches.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from diag.engine_errors import EngineFailed
from diag.engine_patterns import Pattern
from diag.engine_plans import Place, Plan

MOST_BRANCHES = 60
"""The package fails when one fact has over 64 branches open; no kind has more than this in a ruleset."""
MOST_KINDS = 200
"""Each kind is one entry of 512 in a table that gets slow, then endless, as it fills."""
MOST_RULES = 1000
"""The package holds 4,096 rules in a ruleset, and crashes at 256 that ask for exactly the same."""
MOST_USES = 250
"""Conditions that may ask for exactly the same; at 256 the package crashes."""
RESERVED = ("id", "sid", "$s", "start")


def property_hash(text: str) -> int:
    """Return the 32-bit FNV-1a hash by which the package compares property names and identities of facts."""
    value = 0x811C9DC5
    for byte in text.encode():
        value = (value ^ byte) * 0x01000193 & 0xFFFFFFFF
    return value


class Names:
    """Short property names for things, no two of which share a hash."""

    def __init__(self) -> None:
        self._names: dict[object, str] = {}
        self._hashes = {property_hash(name): name for name in RESERVED}

    def name(self, letter: str, *thing: object) -> str:
        """Return the name of the thing, always the same; the letter says what sort of thing it is."""
        known = self._names.get((letter, thing))
        if known is not None:
            return known
        made = self._names[letter, thing] = f"{letter}{len(self._names)}"
        other = self._hashes.setdefault(property_hash(made), made)
        if other != made:
            raise EngineFailed(f"the property names {made} and {other} share a hash")
        return made


@dataclass(slots=True)
class Group:
    """Rules with the same first pattern, and what they would add to a ruleset."""

    head: Pattern
    plans: list[Plan] = field(default_factory=list)
    branches: dict[str, set[object]] = field(default_factory=dict)
    uses: dict[Pattern, int] = field(default_factory=dict)

    def take(self, plan: Plan) -> bool:
        """Add the rule if there is room, and say whether there was."""
        branches = {kind: set(known) for kind, known in self.branches.items()}
        uses = dict(self.uses)
        for number, (pattern, join) in enumerate(zip(plan.patterns, plan.joins, strict=True)):
            branch = (len(self.plans), number) if join else pattern
            branches.setdefault(pattern.kind, set()).add(branch)
            uses[pattern] = uses.get(pattern, 0) + 1
        if max(map(len, branches.values())) > MOST_BRANCHES or max(uses.values()) > MOST_USES:
            return False
        self.plans.append(plan)
        self.branches, self.uses = branches, uses
        return True


@dataclass(slots=True)
class Part:
    """Groups that share one ruleset."""

    groups: list[Group] = field(default_factory=list)
    branches: dict[str, int] = field(default_factory=dict)

    def take(self, group: Group) -> bool:
        """Add the group if there is room, and say whether there was."""
        branches = dict(self.branches)
        for kind, added in group.branches.items():
            branches[kind] = branches.get(kind, 0) + len(added)
        rules = len(group.plans) + sum(len(known.plans) for known in self.groups)
        if max(branches.values()) > MOST_BRANCHES or len(branches) > MOST_KINDS or rules > MOST_RULES:
            return False
        self.groups.append(group)
        self.branches = branches
        return True


def group_plans(plans: Iterable[Plan]) -> list[Group]:
    """Put rules with the same first pattern together, in as few groups as the limits allow."""
    latest: dict[Pattern, Group] = {}
    groups: list[Group] = []
    for plan in plans:
        head = plan.patterns[0]
        if head not in latest or not latest[head].take(plan):
            latest[head] = Group(head)
            latest[head].take(plan)
            groups.append(latest[head])
    return groups


def pack_groups(groups: Iterable[Group]) -> list[Part]:
    """Spread the groups over as few rulesets as their order allows."""
    parts: list[Part] = []
    for group in groups:
        if not parts or not parts[-1].take(group):
            parts.append(Part())
            parts[-1].take(group)
    return parts


def ruleset_text(groups: Sequence[Group], names: Names) -> str:
    """Return the JSON text of a ruleset; rule i of group g is called `g/i`."""
    rules: dict[str, object] = {"start": {"all": [{"m0": {"$ex": {"start": 1}}}]}}
    for at, group in enumerate(groups):
        for number, plan in enumerate(group.plans):
            pairs = enumerate(zip(plan.patterns, plan.joins, strict=True))
            conditions = [{f"m{i}": {"$and": _tests(at, *pair, names)}} for i, pair in pairs]
            rules[f"{at}/{number}"] = {"all": conditions, "cap": 60000}
    return json.dumps(rules)


def _tests(at: int, pattern: Pattern, join: Iterable[tuple[str, Place]], names: Names) -> list[object]:
    """Return the tests of a condition, constants first: a test that joins is not shared between rules."""
    marks = (names.name("k", pattern.kind), names.name("p", at, pattern))
    joins = [(names.name("f", name), {f"m{place.condition}": names.name("f", place.field)}) for name, place in join]
    return [{"$ex": {mark: 1}} for mark in marks] + [{name: other} for name, other in joins]


def joined_fields(plans: Iterable[Plan]) -> dict[str, set[str]]:
    """Return, by kind, the fields that some rule joins."""
    fields: dict[str, set[str]] = {}
    for plan in plans:
        for pattern, join in zip(plan.patterns, plan.joins, strict=True):
            for name, place in join:
                fields.setdefault(pattern.kind, set()).add(name)
                fields.setdefault(plan.patterns[place.condition].kind, set()).add(place.field)
    return fields
