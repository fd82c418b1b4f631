"""Work out beforehand what a phone needs to diagnose a site without a signal."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass, field, replace
from datetime import datetime, timedelta
from typing import Any

from api.pack_chapter import Json, chapter_of
from api.pack_shelves import Shelves
from diag.chapters import compile_chapters
from diag.observations import Case, Event, Observed
from diag.reasoner import PreparedSite, Reasoner
from diag.reasoning import Reasoning, open_case
from knowledge.load import Knowledge

FORMAT = 1
"""Number of this form; a phone that knows another asks for the pack again."""


@dataclass
class _Book:
    """Chapters that are told apart by what they say, so that cases which come to the same share one."""

    shelves: Shelves = field(default_factory=Shelves)
    chapters: list[Json] = field(default_factory=list)
    _numbers: dict[str, int] = field(default_factory=dict)

    def number(self, chapter: Json) -> int:
        text = json.dumps(chapter, sort_keys=True)
        if text not in self._numbers:
            self._numbers[text] = len(self.chapters)
            self.chapters.append(chapter)
        return self._numbers[text]


def site_pack(reasoner: Reasoner, prepared: PreparedSite, at: datetime) -> Json:
    """Return every case with one symptom, at each part it can be about and at none, as it stands at that time."""
    book = _Book()
    minding = _minding_the_hold_off(reasoner.knowledge)
    cases = []
    for symptom, part in _sights(reasoner.knowledge, prepared):
        case = Case(symptoms=(Observed(symptom, part),), at=at)
        reasoning = open_case(reasoner, prepared, case)
        by_hand = _by_hand(reasoner, reasoning, book) if _minds(reasoner, reasoning, symptom in minding) else []
        chapter = book.number(chapter_of(reasoner, reasoning, book.shelves))
        cases.append({"symptom": symptom, "part": part, "chapter": chapter, "by_hand": by_hand})
    return {**_shared(reasoner, prepared, at, book), "cases": cases}


def case_pack(reasoner: Reasoner, reasoning: Reasoning) -> Json:
    """Return this one opened case, whatever was noticed, told and commanded."""
    book = _Book()
    book.number(chapter_of(reasoner, reasoning, book.shelves))
    shared = _shared(reasoner, reasoning.prepared, reasoning.situation.case.at, book)
    return {**shared, "resumes_at": _resumes_at(reasoning)}


def _resumes_at(reasoning: Reasoning) -> str | None:
    """Return when automatic works again in every zone in reach, None where nothing holds it off."""
    situation = reasoning.situation
    zones = [it for it in situation.parts if situation.scope.kind(it) == "zone"]
    times = [it for zone in zones if (it := situation.hold_off(zone).resumes_at)]
    return max(times).isoformat() if times else None


def _minds(reasoner: Reasoner, reasoning: Reasoning, by_rule: bool) -> bool:
    """Say whether the time of the last manual command can change anything in the case."""
    expected = {reasoner.knowledge.checks[check].expects for check, _ in reasoning.options.options}
    return bool(_hold_offs(reasoning)) and (by_rule or "hold-off" in expected)


def _by_hand(reasoner: Reasoner, reasoning: Reasoning, book: _Book) -> list[list[float]]:
    """Return from how many minutes after the last manual command which chapter holds."""
    case = reasoning.situation.case
    assert case.at is not None
    spans = []
    for minutes in (0.0, *_hold_offs(reasoning)):
        event = Event(case.at - timedelta(minutes=minutes), "manual")
        held = open_case(reasoner, reasoning.prepared, replace(case, events=(event,)))
        spans.append([minutes, book.number(chapter_of(reasoner, held, book.shelves, timeless=True))])
    return spans


def _hold_offs(reasoning: Reasoning) -> list[float]:
    situation = reasoning.situation
    lengths = {situation.hold_off_minutes(it) for it in situation.parts if situation.scope.kind(it) == "zone"}
    return sorted(it for it in lengths if it)


def _minding_the_hold_off(knowledge: Knowledge) -> frozenset[str]:
    """Return the symptoms some rule of whose chapter asks for the state of a hold-off."""
    return frozenset(
        symptom
        for symptom, rules in compile_chapters(knowledge).items()
        if any(test.field == "hold_off" for rule in rules for condition in rule.when for test in condition.tests)
    )


def _sights(knowledge: Knowledge, prepared: PreparedSite) -> Iterator[tuple[str, str | None]]:
    for symptom in knowledge.symptoms.values():
        yield symptom.id, None
        for part, kind in sorted(prepared.topology.kinds.items()):
            if kind in symptom.about:
                yield symptom.id, part


def _shared(reasoner: Reasoner, prepared: PreparedSite, at: datetime | None, book: _Book) -> Json:
    shelves = book.shelves
    places = sorted({it.place for it in shelves.options.items if it.place})
    return {
        "format": FORMAT,
        "knowledge_version": reasoner.knowledge.version,
        "at": at.isoformat(timespec="minutes") if at else None,
        "kinds": dict(sorted(prepared.topology.kinds.items())),
        "places": _places(prepared, places),
        "parts": [list(asdict(it).values()) for it in shelves.parts.items],
        "checks_at": [[it.check, it.part, it.place, it.expect, dict(it.limits)] for it in shelves.options.items],
        "reasons": [[*it[:3], list(it[3])] for it in shelves.reasons.items],
        "rows": [list(it) for it in shelves.rows.items],
        "chapters": book.chapters,
    }


def _places(prepared: PreparedSite, places: Sequence[str]) -> dict[str, Any]:
    described = prepared.site.places
    names = {it: (described[it].name or it) if it in described else it for it in places}
    walks = [[prepared.walks.minutes(start, end) for end in places] for start in places]
    return {"ids": list(places), "names": names, "walk_minutes": walks}
