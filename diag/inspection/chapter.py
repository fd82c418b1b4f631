"""Turn inspection rules into one chapter of engine rules."""

from __future__ import annotations

from collections.abc import Iterable

from diag.chapters import compile_rule
from diag.rules import Rule
from knowledge.entries import RuleEntry
from knowledge.inspection_entries import InspectionRule

CHAPTER = "inspection"


def compile_inspections(rules: Iterable[InspectionRule]) -> dict[str, tuple[Rule, ...]]:
    """Return the chapter an engine must hold to inspect, by its name."""
    return {CHAPTER: tuple(engine_rule(rule) for rule in rules)}


def engine_rule(rule: InspectionRule) -> Rule:
    """Return the engine rule; what it derives names the part in its field `part`."""
    deduced = RuleEntry(id=rule.id, derive=rule.id, at=rule.at, when=rule.when, because=rule.reason, source=rule.source)
    return compile_rule(CHAPTER, deduced)
