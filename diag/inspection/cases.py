"""Run the cases that stand beside the inspection rules: given this description, the rule finds these parts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from copy import deepcopy
from dataclasses import dataclass
from datetime import date
from typing import Any

from diag.inspection.run import Inspector, inspect
from diag.site_file import site_from_data
from knowledge.inspection_entries import InspectionCase, InspectionRule


@dataclass(frozen=True, slots=True)
class CaseResult:
    """What one case was to find and what was found; it holds when they are the same."""

    rule: str
    index: int
    name: str
    wanted: frozenset[str]
    found: frozenset[str]

    @property
    def holds(self) -> bool:
        """Return whether the case came out as written."""
        return self.wanted == self.found


def run_cases(inspector: Inspector) -> Iterator[CaseResult]:
    """Yield the result of every case of every rule; raise BadSite for a case that describes no valid site."""
    for rule in inspector.inspections.rules.values():
        for index, case in enumerate(rule.cases):
            site = site_from_data(case_site(rule, case), f"{rule.id}, {case.name}")
            today = date.fromisoformat(case.today) if case.today else None
            found = {it.part for it in inspect(inspector, site, today).findings if it.rule == rule.id}
            yield CaseResult(rule.id, index, case.name, frozenset(case.finds), frozenset(found))


def case_site(rule: InspectionRule, case: InspectionCase) -> dict[str, Any]:
    """Return the description of a case: its own or the first one's, with its changes made."""
    own = case.site if case.site is not None else rule.cases[0].site
    data: dict[str, Any] = {"name": rule.title, **deepcopy(own or {})}
    for path, value in case.changes.items():
        change(data, path, value)
    return data


def change(data: dict[str, Any], path: str, value: object) -> None:
    """Set the field a dotted path leads to, making what is missing on the way; None takes the field out."""
    *way, last = path.split(".")
    for step in way:
        below = data.setdefault(step, {})
        data = below
    if value is None:
        data.pop(last, None)
    else:
        data[last] = deepcopy(value)


def described(data: Mapping[str, Any]) -> Iterator[str]:
    """Yield the dotted path of every field of a description that holds no further fields."""
    for name, value in data.items():
        if isinstance(value, dict) and value:
            yield from (f"{name}.{below}" for below in described(value))
        else:
            yield name
