"""Describe knowledge entries to callers."""

from __future__ import annotations

from api.dependencies import Service
from api.reports import cautions
from api.schemas import CauseEntryOut, CauseListOut, CauseNameOut, OutcomeChanceOut, SymptomEntryOut, SymptomListOut
from diag.errors import UnknownCause
from diag.intake import understand
from knowledge.entries import Symptom
from knowledge.load import Knowledge


def list_symptoms(service: Service, text: str | None, site: str | None) -> SymptomListOut:
    """Return the symptoms the text can mean, best first, or every symptom when there is no text."""
    entries = service.desk.reasoner.knowledge.symptoms
    if not text:
        return SymptomListOut(recognised=True, symptoms=[_entry(it) for it in entries.values()])
    service.store.hear(text, site)
    topology = service.desk.prepared(service.shelf.site(site), service.now().date()).topology if site else None
    understood = understand(service.intake, text, topology)
    found = [_entry(entries[it.symptom], it.score, it.part) for it in understood.symptoms]
    return SymptomListOut(recognised=understood.recognised, symptoms=found)


def name_causes(knowledge: Knowledge) -> CauseListOut:
    """Return every cause by name."""
    causes = sorted(knowledge.causes.values(), key=lambda it: (it.name, it.id))
    return CauseListOut(causes=[CauseNameOut(id=it.id, name=it.name, family=it.family) for it in causes])


def describe_cause(knowledge: Knowledge, cause_id: str) -> CauseEntryOut:
    """Return a cause with its checks, remedy and proof; raise UnknownCause."""
    cause = knowledge.causes.get(knowledge.current("Cause", cause_id))
    if cause is None:
        raise UnknownCause(cause_id, knowledge.causes)
    checks = [
        OutcomeChanceOut(
            check=it.check, name=knowledge.checks[it.check].name, outcomes=dict(it.outcomes), because=it.because
        )
        for it in cause.checks
    ]
    return CauseEntryOut(
        id=cause.id,
        name=cause.name,
        family=cause.family,
        means=cause.means,
        checks=checks,
        remedy=list(cause.remedy),
        proof=list(cause.proof),
        cautions=cautions(knowledge, cause.cautions),
        source=cause.source,
        knowledge_version=knowledge.version,
    )


def _entry(it: Symptom, score: float | None = None, part: str | None = None) -> SymptomEntryOut:
    rounded = None if score is None else round(score, 4)
    return SymptomEntryOut(
        id=it.id, name=it.name, means=it.means, family=it.family, about=list(it.about), score=rounded, part=part
    )
