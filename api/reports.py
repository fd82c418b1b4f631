"""Turn a diagnosis into the shape that callers get."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from api.intake_step import said_events
from api.schemas import (
    AdviceOut,
    AlternativeOut,
    CauseOut,
    CautionOut,
    CheckOut,
    ChipOut,
    CorrectionOut,
    DiagnosisOut,
    EventOut,
    OutcomeOut,
    PartQuestionOut,
    ReasonOut,
    RepairOut,
    SymptomOut,
    ToldOut,
    UnderstoodOut,
    WhyNotOut,
)
from diag.observations import Case, Diagnosis, NextCheck, RankedCause, Reason, Repair
from diag.words.understood import Chip, Understood
from knowledge.load import Knowledge

PROBABILITY_DIGITS = 6


def report(
    knowledge: Knowledge,
    case: Case,
    diagnosis: Diagnosis,
    why_not: Sequence[WhyNotOut] = (),
    understood: Understood | None = None,
) -> DiagnosisOut:
    """Return the diagnosis with names and cautions written out."""
    return DiagnosisOut(
        symptoms=[
            SymptomOut(
                id=it.symptom,
                part=it.part,
                score=round(it.score, 4),
                name=knowledge.symptoms[it.symptom].name,
                about=list(knowledge.symptoms[it.symptom].about),
            )
            for it in diagnosis.symptoms
        ],
        causes=[_cause(it) for it in diagnosis.causes],
        next=[check_out(knowledge, it) for it in diagnosis.next],
        repair=repair_out(knowledge, diagnosis.repair) if diagnosis.repair else None,
        advice=[AdviceOut(rule=it.rule, says=it.says) for it in diagnosis.advice],
        resumes_at=diagnosis.resumes_at.isoformat() if diagnosis.resumes_at else None,
        why_not=list(why_not),
        told=sorted(case.told),
        unrecognised=understood.unrecognised if understood else None,
        say_instead=understood.why_not if understood else None,
        understood=_understood(knowledge, understood, case) if understood else None,
        at=case.at.isoformat(timespec="minutes") if case.at else None,
        knowledge_version=diagnosis.knowledge_version,
    )


def _understood(knowledge: Knowledge, it: Understood, case: Case) -> UnderstoodOut:
    return UnderstoodOut(
        chips=[_chip(chip) for chip in it.frame],
        corrections=[CorrectionOut(typed=mended.typed, taken_for=mended.meant) for mended in it.corrections],
        asks=[PartQuestionOut(words=question.words, parts=list(question.parts)) for question in it.asks],
        told=[ToldOut(id=told, name=knowledge.conditions[told].name) for told in sorted(it.told)],
        events=[
            EventOut(at=event.at.isoformat(timespec="minutes"), command=event.command, part=event.part)
            for event in (said_events(it, case.at) if case.at else ())
        ],
        note=it.note,
    )


def _chip(it: Chip) -> ChipOut:
    others = [AlternativeOut(meaning=other.meaning, text=other.text) for other in it.alternatives]
    return ChipOut(role=it.role, words=it.words, meaning=it.meaning, alternatives=others)


def reasons(found: Iterable[Reason]) -> list[ReasonOut]:
    """Return reasons in the shape callers get."""
    return [ReasonOut(source=it.source, effect=it.effect, says=it.says, facts=list(it.facts)) for it in found]


def cautions(knowledge: Knowledge, ids: Iterable[str]) -> list[CautionOut]:
    """Return the cautions of these ids, written out."""
    entries = [knowledge.cautions[it] for it in ids]
    return [CautionOut(id=it.id, name=it.name, text=it.text, defer=it.defer) for it in entries]


def rounded(probability: float) -> float:
    """Return a probability with the digits that are shown."""
    return round(probability, PROBABILITY_DIGITS)


def _cause(it: RankedCause) -> CauseOut:
    return CauseOut(
        id=it.cause,
        part=it.part,
        part_kind=it.part_kind,
        name=it.name,
        where=it.where,
        probability=rounded(it.probability),
        why=reasons(it.why),
    )


def check_out(knowledge: Knowledge, it: NextCheck) -> CheckOut:
    """Return a check in the shape callers get."""
    return CheckOut(
        check=it.check,
        part=it.part,
        part_kind=it.part_kind,
        name=it.name,
        where=it.where,
        place=it.place,
        question=it.question,
        how=it.how,
        minutes=it.minutes,
        walk_minutes=it.walk_minutes,
        tools=list(it.tools),
        competence=it.competence,
        expect=it.expect,
        unit=it.unit,
        cautions=cautions(knowledge, it.cautions),
        outcomes=[OutcomeOut(id=choice.id, label=choice.label, means=choice.means) for choice in it.outcomes],
        why_now=it.why_now,
        bits=round(it.bits, PROBABILITY_DIGITS),
    )


def repair_out(knowledge: Knowledge, it: Repair) -> RepairOut:
    """Return a repair in the shape callers get."""
    return RepairOut(
        cause=it.cause,
        part=it.part,
        name=it.name,
        where=it.where,
        steps=list(it.steps),
        proof=list(it.proof),
        minutes=it.minutes,
        competence=it.competence,
        cautions=cautions(knowledge, it.cautions),
    )
