"""What a trainee can do in a practice call-out, and what came of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, get_args

from diag.errors import DiagError, UnknownName
from diag.virtual_checks.unsafe import Danger, Precaution

PRECAUTIONS: Mapping[Precaution, str] = {
    "isolated": "Switch the isolator off and lock it",
    "battery-off": "Take the battery off as well",
    "proved-dead": "Prove the cores dead",
    "proved-tester": "Prove the tester before and after",
    "clear-of-edges": "Keep hands and people clear of the opening",
    "secured-sash": "Support the sash",
    "safe-access": "Use safe access to the height",
    "weather-waited": "Wait until the weather allows it",
    "told-people": "Tell the people in the building",
}
"""Every precaution that can be taken before a check, in words."""

PRECAUTION_MINUTES = 1.0
"""What each precaution costs, wanted or not; judgement."""


class UnknownPrecaution(UnknownName):
    """There is no such precaution."""

    thing = "precaution"


class CallOutOver(DiagError):
    """Nothing more can be done: the call-out is over."""

    def __init__(self) -> None:
        super().__init__("This call-out is over. Look at the debrief, or begin another one.")


@dataclass(frozen=True, slots=True)
class Step:
    """A check with the precautions taken, or the repair of a cause, at a part."""

    kind: Literal["check", "repair"]
    what: str
    part: str | None = None
    precautions: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for it in self.precautions:
            if it not in get_args(Precaution):
                raise UnknownPrecaution(it, get_args(Precaution))


@dataclass(frozen=True, slots=True)
class Taken:
    """A step that was taken: its name for people, what came of it, and what it cost.

    `works` says after a repair whether the complaint is gone, and is None after a check. `dangers` are those that no
    precaution answered.
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
    was_there: bool | None = None
    dangers: tuple[Danger, ...] = ()
