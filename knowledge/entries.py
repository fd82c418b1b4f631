"""The shape of each knowledge entry: symptoms, causes with their rules, checks, cautions and the vocabulary."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints, model_validator

EntryId = Annotated[str, StringConstraints(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=60)]
Text = Annotated[str, StringConstraints(min_length=2, max_length=700, strip_whitespace=True)]
Variable = Annotated[str, StringConstraints(pattern=r"^\$[a-z][a-z0-9_]*$")]
PartKind = Literal[
    "site", "controller", "output", "drive", "opening", "cable", "junction", "zone", "input", "lockout", "schedule",
    "link", "fan",
]  # fmt: skip
Likelihood = Literal["always", "usually", "often", "sometimes", "seldom", "never"]
Shift = Literal["much-stronger", "stronger", "weaker", "much-weaker"]
Family = Literal[
    "movement", "command", "setup", "indication", "smoke", "supply", "output", "wiring", "drive", "opening", "input",
    "settings", "link", "fan",
]  # fmt: skip
Competence = Literal["ordinary", "instructed", "skilled", "fire"]
FailureMode = Literal[
    "fail-to-open", "fail-to-close", "fail-to-start", "fail-to-stop", "fail-to-function", "spurious-operation",
    "delayed-operation", "erratic-output", "abnormal-reading", "no-output", "low-output", "high-output",
    "structural-deficiency", "leakage", "short-circuit", "open-circuit", "earth-fault", "overheating", "noise",
    "set-wrong", "works-as-set",
]  # fmt: skip


class Entry(BaseModel):
    """Common settings: unknown fields are errors, values are frozen."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)


class Retired(BaseModel):
    """An entry that is no longer used and the one that took its place; its other fields may stay and are not read."""

    model_config = ConfigDict(extra="ignore", frozen=True, populate_by_name=True)

    id: EntryId
    status: Literal["retired"]
    replaced_by: EntryId = Field(alias="replaced-by")


class NumberBound(Entry):
    """A condition on a number or on one excluded word."""

    above: float | None = None
    at_least: float | None = Field(default=None, alias="at-least")
    below: float | None = None
    at_most: float | None = Field(default=None, alias="at-most")
    not_: str | None = Field(default=None, alias="not")


ConditionFields = dict[str, str | list[str] | NumberBound]


class RuleEntry(Entry):
    """One rule: when these facts hold, suspect, weigh, exclude, derive or advise.

    Exactly one of `suspect`, `weigh`, `exclude`, `derive`, `advise` is given.
    """

    id: EntryId
    suspect: Likelihood | None = Field(default=None, description="How often this cause shows the symptom.")
    weigh: Shift | None = None
    exclude: Literal["yes"] | None = None
    derive: EntryId | None = Field(default=None, description="What is deduced of the part named in `at`.")
    advise: Text | None = None
    at: Variable | None = Field(default=None, description="The part concerned; absent for weigh and exclude: any.")
    when: list[dict[str, ConditionFields]] = Field(min_length=1, max_length=6)
    because: Text
    source: Text = Field(default="common practice, no source")

    @model_validator(mode="after")
    def _one_kind(self) -> RuleEntry:
        chosen = [name for name in ("suspect", "weigh", "exclude", "derive", "advise") if getattr(self, name)]
        if len(chosen) != 1:
            raise ValueError("give exactly one of suspect, weigh, exclude, derive, advise")
        if self.at is None and chosen[0] in ("suspect", "derive"):
            raise ValueError(f"{chosen[0]} needs `at`, the variable of the part concerned")
        return self


class RuleCase(Entry):
    """Facts under which named rules fire and others do not."""

    name: Text
    given: list[dict[str, dict[str, str | float]]]
    fires: list[EntryId] = []
    not_fires: list[EntryId] = Field(default=[], alias="not-fires")

    @model_validator(mode="after")
    def _asserts_something(self) -> RuleCase:
        if not self.fires and not self.not_fires:
            raise ValueError("a case names at least one rule under `fires` or `not-fires`")
        return self


class LooksLike(Entry):
    """Another symptom easily taken for this one, and how to tell them apart."""

    symptom: EntryId
    tell_apart: Text = Field(alias="tell-apart")


class Symptom(Entry):
    """Something a person notices."""

    id: EntryId
    family: Family
    name: Text
    about: list[PartKind] = Field(min_length=1, description="Kinds of part it can be about, most usual first.")
    input_kinds: list[str] = Field(
        default=[], alias="input-kinds", description="For symptoms about an input: which kinds of input."
    )
    means: Text
    not_asked: list[EntryId] = Field(
        default=[], alias="not-asked", description="Checks that it answers already, or that make no sense with it."
    )
    phrases: list[Text] = Field(min_length=6)
    looks_like: list[LooksLike] = Field(default=[], alias="looks-like")
    normal: list[Text] = Field(default=[], description="Normal behaviour that looks like this.")
    cautions: list[EntryId] = []
    source: Text | None = Field(default=None, description="Behind the numbers in its texts, if there are any.")


class BaseRate(Entry):
    """In how many of 1,000 call-outs this is found, before anything is known of the site; some have two findings."""

    per_thousand: Annotated[float, Field(gt=0, le=300)]
    because: Text
    source: Text = "judgement"


class CheckEvidence(Entry):
    """How often each outcome of a check is seen when this cause is the fault.

    Words are weights; outcomes not named count as `never`; the weights are scaled to sum to one.
    """

    check: EntryId
    outcomes: dict[EntryId, Likelihood] = Field(min_length=1)
    because: Text
    decisive: bool = Field(default=False, description="True: this check alone confirms the cause.")


class Cause(Entry):
    """Something that can be wrong, or a designed behaviour taken for a fault."""

    id: EntryId
    family: Family
    name: Text
    means: Text
    failure_mode: FailureMode = Field(alias="failure-mode")
    sits_at: PartKind = Field(alias="sits-at")
    reach: Literal["path", "output", "controller"] = Field(
        default="path",
        description="path: felt along the part's own supply and command path; output, controller: by all on it.",
    )
    as_designed: bool = Field(default=False, alias="as-designed")
    base_rate: BaseRate = Field(alias="base-rate")
    rules: list[RuleEntry] = Field(min_length=1)
    checks: list[CheckEvidence] = Field(min_length=1)
    remedy: list[Text] = Field(min_length=1)
    remedy_minutes: Annotated[float, Field(gt=0, le=2000)] = Field(alias="remedy-minutes")
    remedy_competence: Competence = Field(default="skilled", alias="remedy-competence")
    proof: list[Text] = Field(min_length=1)
    cautions: list[EntryId] = []
    cases: list[RuleCase] = Field(min_length=1)
    source: Text = "common practice, no source"


class Outcome(Entry):
    """One thing a check can show."""

    id: EntryId
    label: Text
    means: Text
    healthy: Likelihood = Field(default="never", description="How often it is seen where nothing here is wrong.")


class Band(Entry):
    """Readings below this limit belong to this outcome; bands are in rising order, the last has no limit.

    `below` is a number in the check's unit or the name of a quantity the calculators work out for the part.
    """

    outcome: EntryId
    below: float | EntryId | None = None
    below_else: float | None = Field(
        default=None, alias="below-else", description="Limit when it cannot be worked out."
    )


class Reading(Entry):
    """What a typed number means for a check."""

    unit: Literal["V", "A", "ohm", "s", "min", "mm", "C", "ppm", "m/s", "%", "count", "mA", "mV", "Mohm"]
    lowest: float
    highest: float
    bands: list[Band] = Field(min_length=2)
    source: Text


class Check(Entry):
    """Something a person can look at, ask, operate or measure, with the outcomes it can have."""

    id: EntryId
    kind: Literal["ask", "look", "operate", "measure", "settings"]
    name: Text
    question: Text
    how: Text
    at: PartKind
    where: dict[str, list[str]] = Field(default={}, description="Only parts whose fact has one of these values.")
    stand: Literal["part", "controller", "anywhere"] = Field(description="Where the person stands.")
    minutes: Annotated[float, Field(gt=0, le=240)]
    tools: list[Text] = []
    competence: Competence
    hazards: list[EntryId] = Field(default=[], description="Cautions shown before the check, by id.")
    outcomes: list[Outcome] = Field(min_length=2, max_length=6)
    expects: EntryId | None = Field(default=None, description="The calculator that says what to expect here.")
    expect_text: Text = Field(alias="expect-text", description="What a healthy part shows, when nothing is calculated.")
    reading: Reading | None = None
    source: Text = "common practice, no source"


class Caution(Entry):
    """A hazard and what to do before a step that has it."""

    id: EntryId
    name: Text
    text: Text
    defer: Text
    source: Text


class FieldShape(Entry):
    """One field of a fact kind: a part's id, one of some words, or a number."""

    part: list[PartKind] | None = None
    words: list[str] | None = None
    entry: Literal["symptom", "cause", "condition"] | None = None
    says: Text


class FactShape(Entry):
    """One kind of fact that rules may ask for."""

    says: Text
    fields: dict[str, FieldShape]


class ToldCondition(Entry):
    """A circumstance people mention, that rules may ask for as `told`."""

    id: EntryId
    name: Text
    phrases: list[Text] = []


class Deduction(Entry):
    """A file of derive and advise rules that several causes build on."""

    topic: Text
    rules: list[RuleEntry]
    cases: list[RuleCase] = Field(min_length=1)


class WordTable(Entry):
    """The numbers behind the words: one table for the whole knowledge base."""

    likelihood: dict[Likelihood, float]
    shift: dict[Shift, float]
    unexplained: Annotated[float, Field(gt=0, lt=1)]
    something_else: Annotated[float, Field(gt=0, lt=1)] = Field(alias="something-else")
    source: Text


class FailureClass(Entry):
    """A failure mode in words, and the failure mode or mechanism of ISO 14224 it belongs to."""

    id: FailureMode
    says: Text
    class_kind: Literal["mode", "mechanism", "none"] = Field(alias="class-kind")
    class_code: Text = Field(alias="class-code")
    class_name: Text = Field(alias="class-name")
    source: Text


class Wording(Entry):
    """Spellings to mend and words to leave out, each with what to write; `*` ends a word that stands for a stem."""

    spelling: dict[str, Text]
    banned: dict[str, Text]


class Story(Entry):
    """A whole call-out: where, what was noticed, what was found, and what must lead."""

    name: Text
    site: EntryId
    text: Text | None = None
    symptoms: list[str] = []
    told: list[EntryId] = []
    at: str | None = None
    events: list[str] = []
    findings: list[str] = []
    leads: EntryId
    leads_at: str | None = Field(default=None, alias="leads-at")
    because: Text
