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


class StepIn(In):
    """A check with the precautions taken before it, or the repair of a cause, at a part."""

    kind: Literal["check", "repair"]
    what: Id
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
    """A cause that can be named and mended."""

    cause: str
    part: str
    name: str
    where: str


class PrecautionOut(Out):
    """Something to do before a check."""

    id: str
    says: str


class StepOut(Out):
    """A step that was taken: what was done where, what came of it, and its minutes with the walk."""

    kind: str
    name: str
    where: str
    says: str
    minutes: float
    works: bool | None


class PracticeOut(Out):
    """A practice call-out as it stands."""

    id: str
    site: str
    words: str
    minutes: float
    climbs: int
    place: str | None
    is_over: bool
    steps: list[StepOut]
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


class SideBySideOut(Out):
    """A step of the trainee beside one of the planner; null where one way is shorter."""

    mine: StepOut | None
    planned: StepOut | None


class DebriefOut(Out):
    """How a call-out went: points, minutes of three ways, what was unsafe, both ways side by side."""

    is_solved: bool
    points: int
    for_cause: int
    for_time: int
    for_safety: int
    for_parts: int
    minutes: float
    planner_minutes: float
    planner_solved: bool
    shortest_minutes: float
    climbs: int
    planner_climbs: int
    needless_repairs: int
    unsafe: list[UnsafeOut]
    cause: str
    cause_name: str
    where: str
    means: str
    reference: str
    steps: list[SideBySideOut]
