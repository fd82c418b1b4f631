"""Check the whole knowledge base: names, needs, rules, contradictions, safety, numbers, texts and cases."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from diag.lint_cases import lint_cases
from diag.lint_contradictions import lint_contradictions
from diag.lint_defeats import lint_defeats
from diag.lint_follows import lint_follows
from diag.lint_joined_checks import lint_joined_checks
from diag.lint_names import lint_names
from diag.lint_needs import lint_needs
from diag.lint_numbers import lint_numbers
from diag.lint_reach import lint_reach
from diag.lint_rules import lint_rules
from diag.lint_safety import lint_safety
from diag.lint_texts import lint_texts
from knowledge.faults import Fault
from knowledge.load import Knowledge

LINTERS: tuple[Callable[[Knowledge], Iterator[Fault]], ...] = (
    lint_names,
    lint_needs,
    lint_rules,
    lint_reach,
    lint_joined_checks,
    lint_follows,
    lint_contradictions,
    lint_safety,
    lint_defeats,
    lint_numbers,
    lint_texts,
)
RUNNABLE = (lint_names, lint_rules)
"""Cases run only where these find nothing: an engine takes no rule that names what is not there."""


def check_knowledge(knowledge: Knowledge) -> list[Fault]:
    """Return every fault of the whole, by file and line; an empty list means that it may be released."""
    found = {linter: list(linter(knowledge)) for linter in LINTERS}
    faults = [fault for group in found.values() for fault in group]
    if not any(found[linter] for linter in RUNNABLE):
        faults += lint_cases(knowledge)
    return sorted(faults, key=lambda it: (it.source, it.line, it.column, it.message))
