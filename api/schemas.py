"""What travels between the service and its callers, as JSON shapes."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, StrictBool, StringConstraints

from knowledge.entries import Competence

Typed = Annotated[str, StringConstraints(max_length=10_000)]
Id = Annotated[str, StringConstraints(min_length=1, max_length=80, pattern=r"^[^\x00-\x1f\x7f]+$")]
Short = Annotated[str, StringConstraints(min_length=1, max_length=80, pattern=r"^[^\x00-\x1f\x7f]+$")]


class Out(BaseModel):
    """An answer; callers must ignore fields they do not know."""

    model_config = ConfigDict(frozen=True)


class In(BaseModel):
    """A request; unknown fields are refused."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class SymptomIn(In):
    """A symptom by id, about a part if it is known."""

    id: Id
    part: Id | None = None


class FindingIn(In):
    """The outcome of a check: one of its outcome ids, a typed reading such as `22.8 V`, `cannot` or `not-sure`."""

    check: Id
    part: Id | None = None
    outcome: Short
    certainty: Literal["sure", "think-so"] = Field(default="sure", description="An answer of `think-so` counts less.")


class CrewIn(In):
    """Who is there and what they have with them; only checks and repairs that they may do are offered."""

    competences: Annotated[list[Competence], Field(max_length=4)] = Field(
        default=["ordinary", "instructed", "skilled", "fire"], description="What the people there may do."
    )
    alone: StrictBool = Field(default=False, description="Nobody else is there to stand by.")
    without: Annotated[list[Short], Field(max_length=40)] = Field(default=[], description="Tools not to be had today.")
    dark: StrictBool = Field(default=False, description="It is dark: no work on a roof or in the open.")


class EventIn(In):
    """A command somebody gave: when (`10:05`, `12 min ago` or a full time), its class, and for which part."""

    at: Short
    command: Id = "manual"
    part: Id | None = None


class RepairIn(In):
    """A repair that was made and did not help."""

    cause: Id
    part: Id | None = None


class DiagnosisIn(In):
    """All that is known of a call-out; every field may be left out."""

    site: Id | dict[str, Any] | None = Field(default=None, description="Id of a stored site, or a description inline.")
    text: Typed | None = Field(default=None, description="What the technician typed.")
    symptoms: Annotated[list[SymptomIn], Field(max_length=20)] = []
    told: Annotated[list[Id], Field(max_length=40)] = Field(default=[], description="Ids of circumstances mentioned.")
    findings: Annotated[list[FindingIn], Field(max_length=200)] = []
    events: Annotated[list[EventIn], Field(max_length=200)] = []
    at: Short | None = Field(default=None, description="The time asked about, on the site's clock; now if left out.")
    repaired: Annotated[list[RepairIn], Field(max_length=50)] = []
    why_not: Annotated[list[Id], Field(max_length=20)] = Field(default=[], description="Causes to explain away.")
    plan: StrictBool = Field(
        default=False, description="Ask for the best step now, doubtful answers and double faults."
    )
    remote: StrictBool = Field(
        default=False, description="Only a lay person is there: offer only checks that one may make."
    )
    crew: CrewIn | None = Field(default=None, description="Who is there; a full crew in daylight if left out.")
    language: Literal["en", "de", "da"] = "en"


class SymptomOut(Out):
    """A symptom that was understood or given; score says how surely the words mean it."""

    id: str
    part: str | None
    score: float
    name: str
    about: list[str]


class ReasonOut(Out):
    """One reason: the rule or check behind it, what it did, in words, with the facts it stands on."""

    source: str
    effect: str
    says: str
    facts: list[str]


class CauseOut(Out):
    """A cause at a part with its probability and the reasons."""

    id: str
    part: str | None
    part_kind: str
    name: str
    where: str
    probability: float
    why: list[ReasonOut]


class CautionOut(Out):
    """A hazard, what to do about it, and who may do the work."""

    id: str
    name: str
    text: str
    defer: str


class OutcomeOut(Out):
    """An outcome that can be answered."""

    id: str
    label: str
    means: str


class CheckOut(Out):
    """A check worth making now, best first."""

    check: str
    part: str | None
    part_kind: str
    name: str
    where: str
    place: str
    question: str
    how: str
    minutes: float
    walk_minutes: float
    tools: list[str]
    competence: str
    expect: str
    unit: str | None
    cautions: list[CautionOut]
    outcomes: list[OutcomeOut]
    why_now: str
    bits: float


class RepairOut(Out):
    """What to do about a cause that is likely enough, and how to prove the repair."""

    cause: str
    part: str | None
    name: str
    where: str
    steps: list[str]
    proof: list[str]
    minutes: float
    competence: str
    cautions: list[CautionOut]


class AdviceOut(Out):
    """Something to be told whatever the cause."""

    rule: str
    says: str


class WhyNotOut(Out):
    """Why a cause that was asked for is not suspected; its probability when it is."""

    cause: str
    name: str
    probability: float
    why: list[ReasonOut]


class AlternativeOut(Out):
    """What words may have meant instead, and the whole text put so that it says this: ask again with it."""

    meaning: str
    text: str


class ChipOut(Out):
    """One thing understood from the text: its role, the words, what they were taken for, what else they may mean."""

    role: str
    words: str
    meaning: str
    alternatives: list[AlternativeOut] = Field(default=[], max_length=4)


class CorrectionOut(Out):
    """A word that was taken for a slip of another."""

    typed: str
    taken_for: str


class PartQuestionOut(Out):
    """Words that could mean any of several parts; ask which."""

    words: str
    parts: list[str]


class ToldOut(Out):
    """A circumstance that was mentioned."""

    id: str
    name: str


class EventOut(Out):
    """A command the text says was given, on the site's clock."""

    at: str
    command: str
    part: str | None


class UnderstoodOut(Out):
    """What was made of the typed text, to be shown and corrected."""

    chips: list[ChipOut]
    corrections: list[CorrectionOut]
    asks: list[PartQuestionOut]
    told: list[ToldOut]
    events: list[EventOut]
    note: str | None


class DiagnosisOut(Out):
    """The answer to one request."""

    symptoms: list[SymptomOut]
    causes: list[CauseOut]
    next: list[CheckOut]
    repair: RepairOut | None
    advice: list[AdviceOut]
    resumes_at: str | None
    why_not: list[WhyNotOut]
    told: list[str]
    unrecognised: str | None
    say_instead: str | None
    understood: UnderstoodOut | None
    at: str | None
    language: str = "en"
    in_english: list[str] = Field(default=[], description="Fields that stay English in another language.")
    knowledge_version: str


class SymptomEntryOut(Out):
    """A symptom of the knowledge base, with its score when text was given."""

    id: str
    name: str
    means: str
    family: str
    about: list[str]
    score: float | None = None
    part: str | None = None


class SymptomListOut(Out):
    """Symptoms, best first when text was given."""

    recognised: bool
    symptoms: list[SymptomEntryOut]


class PartOut(Out):
    """A part of a site that a symptom can be about."""

    id: str
    kind: str
    name: str


class SiteSummaryOut(Out):
    """A stored site."""

    id: str
    name: str
    demo: bool


class SiteListOut(Out):
    """All stored sites."""

    sites: list[SiteSummaryOut]


class SiteOut(Out):
    """A stored site with its description and its parts by kind."""

    id: str
    name: str
    demo: bool
    description: dict[str, Any]
    parts: list[PartOut]


class CauseNameOut(Out):
    """A cause of the knowledge base by name."""

    id: str
    name: str
    family: str


class CauseListOut(Out):
    """All causes, in order of name."""

    causes: list[CauseNameOut]


class OutcomeChanceOut(Out):
    """A check of a cause and what it shows when the cause is the fault."""

    check: str
    name: str
    outcomes: dict[str, str]
    because: str


class CauseEntryOut(Out):
    """A cause of the knowledge base."""

    id: str
    name: str
    family: str
    means: str
    checks: list[OutcomeChanceOut]
    remedy: list[str]
    proof: list[str]
    cautions: list[CautionOut]
    source: str
    knowledge_version: str


class HealthOut(Out):
    """The service's own state."""

    status: str
    knowledge_version: str
    symptoms: int
    causes: int
    checks: int


class ProblemOut(Out):
    """An error as RFC 9457 problem details, with the fields at fault."""

    type: str
    title: str
    status: int
    detail: str
    errors: list[dict[str, Any]] = []
