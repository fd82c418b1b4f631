"""One compiled chapter: what a fact must meet by itself, its groups of rules, and how facts are written for them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from diag.engine_package import Package, create_ruleset
from diag.engine_patterns import Pattern, PatternIndex
from diag.engine_plans import Plan
from diag.engine_rulesets import Group, Names, Part, group_plans, joined_fields, pack_groups, ruleset_text


class SleepingGroup:
    """A group inside its ruleset: the bit of its first pattern, and by kind the mark of each pattern's bit."""

    def __init__(self, at: int, part: int, group: Group, names: Names, bits: Mapping[Pattern, int]) -> None:
        self.part = part
        self.head_kind, self.head_bit = group.head.kind, bits[group.head]
        self.marks: dict[str, list[tuple[int, str]]] = {}
        for pattern in dict.fromkeys(pattern for plan in group.plans for pattern in plan.patterns):
            mark = f',"{names.name("p", at, pattern)}":1'
            self.marks.setdefault(pattern.kind, []).append((bits[pattern], mark))


class CompiledPart:
    """One ruleset in the package: its handle, its rules by name, and the joined fields of each kind."""

    def __init__(self, package: Package, name: str, part: Part, names: Names) -> None:
        self.ruleset = create_ruleset(package, name, ruleset_text(part.groups, names))
        groups = enumerate(part.groups)
        self.plans = {f"{at}/{i}": plan for at, group in groups for i, plan in enumerate(group.plans)}
        fields = joined_fields(self.plans.values())
        self._kinds = {kind: f',"{names.name("k", kind)}":1' for kind in part.branches}
        self.joined = {
            kind: [(name, f',"{names.name("f", name)}":') for name in sorted(fields.get(kind, ()))]
            for kind in part.branches
        }

    def marks(self, kind: str, matched: int, groups: Iterable[SleepingGroup]) -> str:
        """Return, as JSON properties, what a fact with these matches means to the groups; nothing if nothing."""
        marks = [mark for group in groups for bit, mark in group.marks.get(kind, ()) if matched & bit]
        return self._kinds[kind] + "".join(marks) if marks else ""


class Chapter:
    """The compiled rules of one chapter."""

    def __init__(self, package: Package, name: str, plans: Sequence[Plan]) -> None:
        self.package = package
        by_kind: dict[str, dict[Pattern, int]] = {}
        for plan in plans:
            for pattern in plan.patterns:
                known = by_kind.setdefault(pattern.kind, {})
                known.setdefault(pattern, 1 << len(known))
        self.indices = {kind: PatternIndex(list(known)) for kind, known in by_kind.items()}
        bits = {pattern: bit for known in by_kind.values() for pattern, bit in known.items()}
        self.parts: list[CompiledPart] = []
        self.groups: list[SleepingGroup] = []
        for number, part in enumerate(pack_groups(group_plans(plans))):
            names = Names()
            self.parts.append(CompiledPart(package, f"{name}/{number}", part, names))
            self.groups += [SleepingGroup(at, number, g, names, bits) for at, g in enumerate(part.groups)]
