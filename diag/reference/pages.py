"""Render the pages of the reference as HTML; every text of an entry is escaped."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import cache
from itertools import groupby
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from diag.reference.search import PLURALS, Listed, all_entries, search
from diag.reference.views import plain_label, view_cause, view_caution, view_check, view_symptom
from knowledge.entries import Check, FailureClass
from knowledge.faults import nearest
from knowledge.load import Knowledge, load_failure_modes

TEMPLATES = Path(__file__).parent / "templates"
STYLE = Path(__file__).parent / "style" / "reference.css"
COMPETENCE: Mapping[str, str] = {
    "ordinary": "anybody",
    "instructed": "an instructed person",
    "skilled": "a skilled person",
    "fire": "a person competent in fire systems",
}
VIEWS: Mapping[str, Callable[[Knowledge, str], object]] = {
    "Symptom": view_symptom,
    "Cause": view_cause,
    "Check": view_check,
    "Caution": view_caution,
}
KINDS: Mapping[str, str] = {plural: kind for kind, plural in PLURALS.items()}
"""The kind of entry for each word of an address."""


def index_page(knowledge: Knowledge, query: str = "") -> str:
    """Return the list of all entries, and above it what a search for the query finds."""
    query = query.strip()
    groups = _groups(all_entries(knowledge))
    return _render("index.html", knowledge, query=query, found=search(knowledge, query), groups=groups)


def entry_page(knowledge: Knowledge, kind: str, entry: str) -> str:
    """Return the page of an entry; KeyError when there is none of that kind and id."""
    view = VIEWS[kind](knowledge, entry)
    more: dict[str, Any] = {"competence": COMPETENCE}
    if kind == "Cause":
        more["failure"] = failure_class(knowledge.causes[entry].failure_mode)
    if kind == "Check":
        more["bands"] = say_bands(knowledge.checks[entry])
    return _render(f"{kind.lower()}.html", knowledge, view=view, **more)


def missing_page(knowledge: Knowledge, asked: str) -> str:
    """Return the page for an address that leads nowhere, with the entries most like it."""
    entries = {it.id: it for it in all_entries(knowledge)}
    return _render("missing.html", knowledge, asked=asked[:60], near=[entries[it] for it in nearest(asked, entries)])


def say_bands(check: Check) -> list[str]:
    """Return, for each band of a reading from the lowest up, what it means; empty without bands."""
    if check.reading is None:
        return []
    labels = {it.id: plain_label(it.label) for it in check.outcomes}
    limits = [it.below if it.below_else is None else it.below_else for it in check.reading.bands]
    said: list[str] = []
    for band, limit in zip(check.reading.bands, limits, strict=True):
        about = "about " if isinstance(band.below, str) and limit != band.below else ""
        number = (
            f"{limit:g} {check.reading.unit}" if isinstance(limit, float | int) else "what is worked out for the part"
        )
        below = "Above that" if limit is None else f"Below {about}{number}"
        said.append(f"{below}: {labels[band.outcome][:1].lower()}{labels[band.outcome][1:]}")
    return said


@cache
def failure_class(mode: str) -> FailureClass:
    """Return the class of a failure mode in the taxonomy."""
    return load_failure_modes()[mode]


def _groups(entries: Iterable[Listed]) -> list[tuple[str, list[tuple[str, list[Listed]]]]]:
    return [
        (PLURALS[kind].capitalize(), [(family, list(rows)) for family, rows in groupby(of_kind, lambda it: it.family)])
        for kind, of_kind in groupby(entries, lambda it: it.kind)
    ]


def _render(template: str, knowledge: Knowledge, **values: Any) -> str:
    return _environment().get_template(template).render(version=knowledge.version, **values)


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["plain_label"] = plain_label
    return environment
