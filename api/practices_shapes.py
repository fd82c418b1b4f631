"""What travels between the practice endpoints and their callers."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from api.schemas import Id, In, Out


class PracticeIn(In):
    """A practice call-out to begin."""

    site: Id = Field(description="Id of a stored site.")
    seed: Annotated[int, Field(ge=0, lt=2**53, strict=True)] = 1
    topics: Annotated[list[Id], Field(max_length=20)] = Field(default=[], description="Families of causes; else all.")
    weak_in: Id | None = Field(default=None, description="Code of a class: take the topics it got wrong most.")
    language: Literal["en", "de", "da"] = "en"


class StepIn(In):
    """A check, the repair of a cause at a part, or the proof of the last repair, with precautions taken before it."""

    kind: Literal["check", "repair", "proof"]
    what: Id = Field(description="Id of the check or cause; of a proof the cause that was mended.")
    part: Id | None = None
    precautions: Annotated[list[Id], Field(max_length=20)] = Field(default=[], description="Ids; none if left out.")


class CheckOptionOut(Out):
    """A check that can be made, and its minutes without the walk."""

    check: str
    part: str
    name: str
    where: str
    minutes: float


class CauseOptionOut(Out):
    """A cause that can be named and mended; what works as designed is explained instead."""

    cause: str
    part: str | None
    name: str
    where: str
    is_as_designed: bool


class PrecautionOut(Out):
    """Something to do before a step."""

    id: str
    says: str


class StepTakenOut(Out):
    """A step that was taken: what was done where, what came of it, and its minutes with the walk.

    `did` is its name with the verb; `works` is told by a proof, or by a check that shows the complaint gone.
    """

    kind: str
    did: str
    name: str
    where: str
    says: str
    minutes: float
    works: bool | None


class PracticeOut(Out):
    """A practice call-out as it stands."""

    id: str
    site: str
    language: str
    words: str
    minutes: float
    climbs: int
    place: str | None
    is_over: bool
    to_prove: CauseOptionOut | None = Field(description="The last repair, if nothing has shown yet whether it helped.")
    steps: list[StepTakenOut]
    checks: list[CheckOptionOut]
    causes: list[CauseOptionOut]
    precautions: list[PrecautionOut]


class UnsafeOut(Out):
    """A danger that no precaution answered."""

    step: int
    name: str
    caution: str
    why: str
    precaution: str


class NeedlessOut(Out):
    """Precautions that a step had no use for; is_spoiled where they switched off what it was to show."""

    step: int
    name: str
    precautions: list[str]
    is_spoiled: bool


class SideBySideOut(Out):
    """A step of the trainee beside one of the planner; null where one way is shorter."""

    mine: StepTakenOut | None
    planned: StepTakenOut | None


class DebriefOut(Out):
    """How a call-out went: points, minutes of three ways, what was unsafe, both ways side by side."""

    language: str
    is_solved: bool
    is_mended: bool
    points: int
    for_cause: int
    for_evidence: int
    for_proof: int
    for_time: int
    for_safety: int
    for_parts: int
    missing: list[str] = Field(description="Each part of the score that is not full: what is missing, and why.")
    minutes: float
    planner_minutes: float
    planner_solved: bool
    shortest_minutes: float
    climbs: int
    planner_climbs: int
    needless_repairs: int
    unsafe: list[UnsafeOut]
    needless: list[NeedlessOut]
    cause: str
    cause_name: str
    where: str
    means: str
    reference: str
    steps: list[SideBySideOut]
