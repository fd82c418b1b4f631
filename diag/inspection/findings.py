"""What an inspection gives: its findings, worst first, and how many of each severity."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from knowledge.inspection_entries import Severity

SEVERITIES: Final[tuple[Severity, ...]] = ("error", "warning", "note")
NUMBER = re.compile(r"([0-9]+)")


@dataclass(frozen=True, slots=True)
class Finding:
    """One fault of a description: the rule that found it, the part, the figures, and what to do.

    `path` leads to the field to mend, `line` and `column` to its place in the file, when there is a file.
    """

    rule: str
    severity: Severity
    part: str
    part_kind: str
    part_name: str
    title: str
    reason: str
    remedy: str
    source: str
    cause: str | None
    cautions: tuple[str, ...]
    path: tuple[str, ...]
    line: int | None = None
    column: int | None = None


@dataclass(frozen=True, slots=True)
class Inspection:
    """The findings of one site, worst first."""

    site_name: str
    findings: tuple[Finding, ...]

    def count(self, severity: Severity) -> int:
        """Return the number of findings of a severity."""
        return sum(it.severity == severity for it in self.findings)

    def fails(self, level: Severity) -> bool:
        """Return whether a finding is as bad as the level or worse."""
        bad = SEVERITIES[: SEVERITIES.index(level) + 1]
        return any(it.severity in bad for it in self.findings)


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the findings by severity, then rule, then part in the order people count: d2 before d10."""
    return tuple(sorted(findings, key=_rank))


def _rank(it: Finding) -> tuple[int, str, list[tuple[bool, int, str]], str]:
    pieces = [(not piece.isdigit(), int(piece) if piece.isdigit() else 0, piece) for piece in NUMBER.split(it.part)]
    return SEVERITIES.index(it.severity), it.rule, pieces, it.reason
