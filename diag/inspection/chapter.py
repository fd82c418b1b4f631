"""Turn inspection rules into one chapter of engine rules."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from diag.chapters import compile_rule
from diag.engine_patterns import Pattern, PatternIndex
from diag.engine_plans import plan_rule
from diag.rules import Rule
from knowledge.entries import RuleEntry
from knowledge.inspection_entries import InspectionRule

CHAPTER = "inspection"

Asked = Mapping[str, PatternIndex]
"""By kind of fact, what tells whether a fact meets some condition."""


def compile_inspections(rules: Iterable[InspectionRule]) -> dict[str, tuple[Rule, ...]]:
    """Return the chapter an engine must hold to inspect, by its name."""
    return {CHAPTER: tuple(engine_rule(rule) for rule in rules)}


def engine_rule(rule: InspectionRule) -> Rule:
    """Return the engine rule; what it derives names the part in its field `part`."""
    deduced = RuleEntry(id=rule.id, derive=rule.id, at=rule.at, when=rule.when, because=rule.reason, source=rule.source)
    return compile_rule(CHAPTER, deduced)


def conditions_asked(rules: Iterable[InspectionRule]) -> Asked:
    """Return, by kind of fact, the engine's own test whether a fact meets some condition of these rules."""
    patterns: dict[str, dict[Pattern, None]] = {}
    for rule in rules:
        for pattern in plan_rule(engine_rule(rule)).patterns:
            patterns.setdefault(pattern.kind, {})[pattern] = None
    return {kind: PatternIndex(list(known)) for kind, known in patterns.items()}
