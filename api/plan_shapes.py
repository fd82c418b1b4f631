"""The shapes of a plan: the best step now, answers worth a second look, and plausible pairs of causes."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from api.schemas import CheckOut, DiagnosisOut, Out, RepairOut


class ChoiceOut(Out):
    """Something that can be done next, with the minutes expected from there to a proved repair."""

    kind: Literal["check", "repair", "call"]
    id: str | None = Field(description="The check, or the cause that is mended; null for a call for help.")
    part: str | None
    name: str
    where: str
    minutes: float


class StepOut(ChoiceOut):
    """The best step now, why in one sentence, and the check or the repair in full with its cautions."""

    says: str
    check: CheckOut | None
    repair: RepairOut | None


class DoubtOut(Out):
    """An answer that hardly fits all the others: look again. `probability` is that of a mistake."""

    check: str
    part: str | None
    name: str
    where: str
    outcome: str
    label: str
    probability: float
    says: str


class SuspectOut(Out):
    """A cause at a part."""

    id: str
    part: str | None
    name: str
    where: str


class PairOut(Out):
    """Two causes that together explain what no single one does, and the probability that both are so."""

    causes: list[SuspectOut]
    probability: float
    says: str


class PlanOut(Out):
    """What to do next; what to do when that cannot be done; what to look at again; two faults at once."""

    step: StepOut
    otherwise: list[ChoiceOut]
    doubtful: list[DoubtOut]
    pairs: list[PairOut]


class PlannedDiagnosisOut(DiagnosisOut):
    """The answer with its plan, for those who ask for one; null where nothing is known to be wrong."""

    plan: PlanOut | None
