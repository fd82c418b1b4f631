"""Write an inspection for people at a terminal or on paper."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping

from diag.inspection.findings import SEVERITIES, Finding, Inspection
from knowledge.entries import Caution

WIDTH = 100
INDENT = "  "


def text_report(inspection: Inspection, source: str, cautions: Mapping[str, Caution]) -> str:
    """Return the findings worst first: place, cautions, reason, what to do, source; and a count last."""
    blocks = ["\n".join(_finding(it, source, cautions)) for it in inspection.findings]
    return "\n\n".join([*blocks, _count(inspection)])


def _finding(it: Finding, source: str, cautions: Mapping[str, Caution]) -> Iterator[str]:
    place = f"{source}:{it.line}:{it.column}: " if it.line is not None else ""
    yield f"{place}{it.severity}: {it.title} [{it.rule}]"
    for caution in it.cautions:
        entry = cautions[caution]
        yield from _folded(f"Caution, {entry.name.lower()}: {entry.text} {entry.defer}")
    yield from _folded(it.reason)
    yield from _folded(f"Do: {it.remedy}")
    yield from _folded(f"Source: {it.source}")


def _folded(text: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=INDENT, subsequent_indent=INDENT * 2, break_on_hyphens=False)


def _count(inspection: Inspection) -> str:
    if not inspection.findings:
        return f"{inspection.site_name}: nothing found. A description without faults still has to be proved on site."
    counts = [(inspection.count(severity), severity) for severity in SEVERITIES]
    said = ", ".join(f"{number} {severity}{'' if number == 1 else 's'}" for number, severity in counts)
    return f"{inspection.site_name}: {said}."
