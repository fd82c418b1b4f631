"""What a trainee can do in a practice call-out, and what came of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from diag.errors import DiagError, UnknownName, UnknownPart
from diag.virtual_checks.unsafe import Danger, Precaution

PRECAUTIONS: tuple[Precaution, ...] = get_args(Precaution)
"""Every precaution that can be taken before a step."""

PRECAUTION_MINUTES = 1.0
"""What each precaution costs, wanted or not; judgement."""


class UnknownPrecaution(UnknownName):
    """There is no such precaution."""

    thing = "precaution"


class UnfitPart(UnknownPart):
    """A check is made at another kind of part."""

    thing = "part for this check"


class CallOutOver(DiagError):
    """Nothing more can be done: the call-out is over."""

    def __init__(self) -> None:
        super().__init__("This call-out is over. Look at the debrief, or begin another one.")


class NothingToProve(DiagError):
    """A proof was asked for before anything was mended."""

    def __init__(self) -> None:
        super().__init__("There is nothing to prove yet. Name the cause and mend it first.")


@dataclass(frozen=True, slots=True)
class Step:
    """A check, the repair of a cause at a part, or its proof, with the precautions taken before it."""

    kind: Literal["check", "repair", "proof"]
    what: str
    part: str | None = None
    precautions: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for it in self.precautions:
            if it not in PRECAUTIONS:
                raise UnknownPrecaution(it, PRECAUTIONS)


@dataclass(frozen=True, slots=True)
class Taken:
    """A step that was taken: its name for people, what came of it, and what it cost.

    `works` says after a proof whether the complaint is gone, and is None where nothing was proved. `mended` and
    `was_there` are what a repair really did, which nobody knows before it is proved. `dangers` are those that no
    precaution answered; `needless` are precautions that the step had no use for. `is_spoiled` is set where a precaution
    switched off what the step was to show.
    """

    step: Step
    name: str
    where: str
    says: str
    minutes: float
    climbs: int
    place: str | None
    outcome: str | None = None
    typed: str | None = None
    works: bool | None = None
    mended: bool | None = None
    was_there: bool | None = None
    dangers: tuple[Danger, ...] = ()
    needless: tuple[str, ...] = ()
    is_spoiled: bool = False
    is_as_designed: bool = False
