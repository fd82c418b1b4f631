"""Open a case: place what was noticed, run the rules once, and lay out hypotheses and checks for all that follows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from diag.errors import UnknownPart, UnknownSymptom
from diag.facts import Situation, build_facts
from diag.hypotheses import Hypotheses, gather
from diag.observations import Case, Observed
from diag.options import Options, open_options
from diag.placing import choose_parts, place
from diag.reasoner import PreparedSite, Reasoner
from diag.redirects import current_case
from diag.rules import Fact, Firing
from diag.scope import is_stand_in
from diag.topology import SITE_PART
from knowledge.entries import Symptom
from knowledge.load import Knowledge

Seen = tuple[tuple[Observed, tuple[Observed, ...]], ...]
"""Each observed symptom with the parts it was placed on."""


@dataclass(frozen=True)
class Reasoning:
    """All of a case that its later answers do not change: answers only weigh the hypotheses."""

    prepared: PreparedSite
    situation: Situation
    seen: Seen
    facts: tuple[Fact, ...]
    firings: tuple[Firing, ...]
    hypotheses: Hypotheses
    options: Options
    places: tuple[str | None, ...]
    """Where each option is made; None where that does not matter or is not known."""

    known: frozenset[int]
    """The options that the case's own commands or symptoms already answer."""


def open_case(reasoner: Reasoner, prepared: PreparedSite, case: Case) -> Reasoning:
    """Return the reasoning of a case, its findings still unweighed; raise UnknownSymptom or UnknownPart."""
    case = current_case(reasoner.knowledge, case)
    situation, seen = _situate(reasoner.knowledge, prepared, case)
    facts = build_facts(situation, reasoner.vocabulary)
    firings = _fire(reasoner, case, facts)
    repaired = [(cause, part or SITE_PART) for cause, part in case.repaired]
    hypotheses = gather(firings, reasoner.knowledge, reasoner.entries, seen, repaired)
    options = open_options(situation, hypotheses.open, reasoner.knowledge, reasoner.tables)
    places = _places(reasoner, prepared, situation, options)
    told = _told_by_commands(reasoner.knowledge, situation, options)
    told |= _told_by_symptoms(reasoner.knowledge, case, options)
    return Reasoning(prepared, situation, seen, facts, firings, hypotheses, options, places, told)


def _places(
    reasoner: Reasoner, prepared: PreparedSite, situation: Situation, options: Options
) -> tuple[str | None, ...]:
    return situation.scope.keep(
        ("places", options.options),
        lambda: tuple(place_of_check(reasoner, prepared, situation, *option) for option in options.options),
    )


def _told_by_symptoms(knowledge: Knowledge, case: Case, options: Options) -> frozenset[int]:
    """Return the checks that nobody need be asked after what they noticed."""
    told = {check for it in case.symptoms for check in knowledge.symptoms[it.symptom].not_asked}
    return frozenset(place for place, (check, _) in enumerate(options.options) if check in told)


def _told_by_commands(knowledge: Knowledge, situation: Situation, options: Options) -> frozenset[int]:
    """Return the checks of a hold-off whose state the commands of the case tell."""
    return frozenset(
        place
        for place, (check, part) in enumerate(options.options)
        if knowledge.checks[check].expects == "hold-off"
        and situation.scope.kind(part) == "zone"
        and situation.hold_off(part).state in ("running", "over")
    )


def place_of_check(
    reasoner: Reasoner, prepared: PreparedSite, situation: Situation, check: str, part: str
) -> str | None:
    """Return where somebody stands for a check at a part; None when it does not matter or is not known."""
    controller = situation.scope.controller_near(part)
    return prepared.walks.place_of(reasoner.knowledge.checks[check], part, controller)


def _situate(knowledge: Knowledge, prepared: PreparedSite, case: Case) -> tuple[Situation, Seen]:
    named = _named_parts(knowledge, prepared, case)
    scope = prepared.scope(tuple(sorted(choose_parts(prepared.scope(()), named).items())))
    seen = tuple((it, place(scope, it, _symptom(knowledge, it.symptom))) for it in case.symptoms)
    placed = tuple(dict.fromkeys(placing for _, placings in seen for placing in placings))
    parts = scope.keep(("closure", placed), lambda: scope.closure([it.part for it in placed if it.part]))
    return Situation(scope, prepared.described, case, placed, parts), seen


def _named_parts(knowledge: Knowledge, prepared: PreparedSite, case: Case) -> list[str]:
    symptoms = [it.part for it in case.symptoms]
    findings = [it.part for it in case.findings]
    for part in [*symptoms, *findings, *(it.part for it in case.events)]:
        if part and not is_stand_in(part) and part != SITE_PART and part not in prepared.topology.kinds:
            raise UnknownPart(part, prepared.topology.kinds)
    return _known(symptoms) or _agreed(prepared, _telling(knowledge, prepared, case, _known(findings)))


def _known(parts: Sequence[str | None]) -> list[str]:
    return [part for part in parts if part and not is_stand_in(part) and part != SITE_PART]


def _telling(knowledge: Knowledge, prepared: PreparedSite, case: Case, parts: Sequence[str]) -> list[str]:
    """Return the parts that a case about no part in particular does not reach anyway: only those tell which one."""
    if not parts:
        return []
    plain = prepared.scope(())
    placed = [at.part for it in case.symptoms for at in place(plain, it, _symptom(knowledge, it.symptom))]
    reach = plain.closure([part for part in placed if part])
    return [part for part in parts if part not in reach]


def _agreed(prepared: PreparedSite, parts: Sequence[str]) -> list[str]:
    """Return the parts findings name where they name only one of its kind: then the case is about that one."""
    by_kind: dict[str, set[str]] = {}
    for part in parts:
        by_kind.setdefault(prepared.topology.kind(part), set()).add(part)
    return sorted(part for found in by_kind.values() if len(found) == 1 for part in found)


def _symptom(knowledge: Knowledge, symptom: str) -> Symptom:
    if symptom not in knowledge.symptoms:
        raise UnknownSymptom(symptom, knowledge.symptoms)
    return knowledge.symptoms[symptom]


def _fire(reasoner: Reasoner, case: Case, facts: Sequence[Fact]) -> tuple[Firing, ...]:
    chapters = list(dict.fromkeys(it.symptom for it in case.symptoms))
    if len(chapters) == 1:
        return reasoner.evaluate(chapters[0], facts)
    return tuple(sorted({firing for chapter in chapters for firing in reasoner.evaluate(chapter, facts)}))


def day_of(case: Case) -> date | None:
    """Return the day of the case, for the ages of parts."""
    return case.at.date() if case.at else None
