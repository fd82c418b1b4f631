"""What goes into one diagnosis and what comes out, as values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime

from diag.crew import Crew

THINK_SO = 0.75
"""How far an answer is taken of which somebody says "I think so"; judgement."""


@dataclass(frozen=True, slots=True, order=True)
class Observed:
    """A symptom somebody noticed, the part if it was named, and how surely the words mean it (0 to 1)."""

    symptom: str
    part: str | None = None
    score: float = 1.0


@dataclass(frozen=True, slots=True, order=True)
class Finding:
    """The outcome of one check, with how sure somebody was of it; part is None when it was not said at which part."""

    check: str
    outcome: str
    part: str | None = None
    certainty: float = 1.0


@dataclass(frozen=True, slots=True, order=True)
class Event:
    """A command that was given: when, of which class, and for which zone or input if that is known."""

    at: datetime
    command: str
    part: str | None = None


@dataclass(frozen=True, slots=True)
class Case:
    """All that is known of one call-out besides the site itself."""

    symptoms: tuple[Observed, ...] = ()
    told: frozenset[str] = frozenset()
    findings: tuple[Finding, ...] = ()
    events: tuple[Event, ...] = ()
    at: datetime | None = None
    repaired: tuple[tuple[str, str | None], ...] = ()
    """Causes, with their part, whose repair was tried and did not help."""
    remote: bool = False
    """Only a lay person is there, guided by telephone: no covers opened, nothing climbed."""
    crew: Crew = field(default_factory=Crew)
    """Who is there otherwise, and what they have with them."""

    @property
    def there(self) -> Crew:
        """Return who is there, for what is offered to them."""
        return replace(self.crew, remote=self.remote or self.crew.remote)


@dataclass(frozen=True, slots=True)
class Reason:
    """One step of the reasoning: the rule or check behind it, what it says, and the facts it stands on."""

    source: str
    says: str
    effect: str
    facts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RankedCause:
    """A cause at a part with its probability and the reasons for it."""

    cause: str
    part: str | None
    part_kind: str
    name: str
    where: str
    probability: float
    why: tuple[Reason, ...]


@dataclass(frozen=True, slots=True)
class OutcomeChoice:
    """An outcome the technician can choose."""

    id: str
    label: str
    means: str


@dataclass(frozen=True, slots=True)
class Expectation:
    """The reading to expect at this part, in words; limits name the borders of the outcomes where known."""

    text: str
    limits: Mapping[str, float] = field(default_factory=dict)
    calculated: bool = False


@dataclass(frozen=True, slots=True)
class NextCheck:
    """A check worth making: where, why now, what to expect, what to beware of, and what it can show."""

    check: str
    part: str | None
    part_kind: str
    name: str
    where: str
    question: str
    how: str
    place: str
    minutes: float
    walk_minutes: float
    tools: tuple[str, ...]
    competence: str
    expect: str
    cautions: tuple[str, ...]
    outcomes: tuple[OutcomeChoice, ...]
    unit: str | None
    bits: float
    why_now: str


@dataclass(frozen=True, slots=True)
class Repair:
    """What to do about the leading cause and how to prove it, once it is likely enough."""

    cause: str
    part: str | None
    name: str
    where: str
    steps: tuple[str, ...]
    proof: tuple[str, ...]
    minutes: float
    competence: str
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Advice:
    """Something the user must be told whatever the cause turns out to be."""

    rule: str
    says: str


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """The answer: causes best first, checks best first, repair when one cause is likely enough."""

    symptoms: tuple[Observed, ...]
    causes: tuple[RankedCause, ...]
    next: tuple[NextCheck, ...]
    repair: Repair | None
    advice: tuple[Advice, ...]
    resumes_at: datetime | None
    knowledge_version: str
