"""What was understood of a text, as values."""

from __future__ import annotations

from dataclasses import dataclass

from diag.observations import Observed
from diag.words.spelling import Correction


@dataclass(frozen=True, slots=True)
class SaidTime:
    """A command said to have been given: at a clock time such as `10:05`, or so many minutes ago."""

    command: str
    clock: str | None = None
    minutes_ago: float | None = None
    part: str | None = None


@dataclass(frozen=True, slots=True)
class Alternative:
    """What words may have meant instead, and the whole text put so that it says this."""

    meaning: str
    text: str


@dataclass(frozen=True, slots=True)
class Chip:
    """One thing that was understood, to be corrected: its role, the words, what they were taken for, what else."""

    role: str
    words: str
    meaning: str
    start: int
    end: int
    alternatives: tuple[Alternative, ...] = ()


@dataclass(frozen=True, slots=True)
class PartQuestion:
    """Words that could mean any of several parts of the site."""

    words: str
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Understood:
    """All that was made of a text; `why_not` says kindly what to type when nothing was recognised."""

    recognised: bool
    symptoms: tuple[Observed, ...] = ()
    clauses: tuple[tuple[Observed, ...], ...] = ()
    told: frozenset[str] = frozenset()
    said_times: tuple[SaidTime, ...] = ()
    parts: tuple[str, ...] = ()
    asks: tuple[PartQuestion, ...] = ()
    frame: tuple[Chip, ...] = ()
    corrections: tuple[Correction, ...] = ()
    unrecognised: str | None = None
    why_not: str | None = None
    note: str | None = None
