"""The events of a case as they are sent, each with the fields of its kind."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any, Literal

from pydantic import AwareDatetime, Field, StringConstraints

from api.schemas import CrewIn, EventIn, Id, In, Short, SymptomIn

Note = Annotated[str, StringConstraints(min_length=1, max_length=4_000)]
Language = Literal["en", "de", "da"]


class CaseIn(In):
    """A case to open; every field may be left out."""

    site: Id | dict[str, Any] | None = Field(default=None, description="Id of a stored site, or a description inline.")
    text: Note | None = Field(default=None, description="What was typed or said on the telephone.")
    symptoms: Annotated[list[SymptomIn], Field(max_length=20)] = Field(default=[])
    told: Annotated[list[Id], Field(max_length=40)] = Field(default=[])
    events: Annotated[list[EventIn], Field(max_length=200)] = Field(default=[], description="Commands given before.")
    at: Short | None = Field(default=None, description="The time asked about, on the site's clock; now if left out.")
    language: Language = "en"


class Noted(In):
    """What every event may carry: when it was written down, on a phone without signal before it was sent."""

    noted_at: AwareDatetime | None = None


class TextSaid(Noted):
    """Something typed; the service adds what it understood as an event of its own."""

    kind: Literal["text"]
    text: Note


class Understood(Noted):
    """What is meant, corrected by a person; it replaces what was understood before."""

    kind: Literal["understood"]
    symptoms: Annotated[list[SymptomIn], Field(max_length=20)]
    told: Annotated[list[Id], Field(max_length=40)] = Field(default=[])
    events: Annotated[list[EventIn], Field(max_length=200)] = Field(default=[])


class Answer(Noted):
    """The outcome of a check: an outcome id, a typed reading, `cannot` or `not-sure`."""

    kind: Literal["answer"]
    check: Id
    part: Id | None = None
    outcome: Short
    certainty: Literal["sure", "think-so"] = Field(default="sure", description="An answer of `think-so` counts less.")


class TookBack(Noted):
    """The answer or repair of this number and all after it do not hold."""

    kind: Literal["took-back"]
    seq: Annotated[int, Field(ge=1, le=1_000_000, strict=True)]


class Reading(Noted):
    """Something measured that no check asked for."""

    kind: Literal["reading"]
    what: Short
    value: Short
    part: Id | None = None


class NoteMade(Noted):
    """A remark for whoever reads the case."""

    kind: Literal["note"]
    text: Note


class HandOver(Noted):
    """The case passes on to somebody else."""

    kind: Literal["hand-over"]
    to: Short
    note: Note | None = None


class RemoteMode(Noted):
    """From now on only a lay person is there, guided by telephone, or no more: only what they may do is offered."""

    kind: Literal["remote-mode"]
    on: bool


class CrewChanged(Noted, CrewIn):
    """Who is there from now on, and what they have with them; only what they may do is offered."""

    kind: Literal["crew"]


class CauseConfirmed(Noted):
    """The cause was found."""

    kind: Literal["cause-confirmed"]
    cause: Id
    part: Id | None = None


class RepairMade(Noted):
    """A repair, and whether it helped if that is known."""

    kind: Literal["repair"]
    cause: Id
    part: Id | None = None
    helped: bool | None = None
    note: Note | None = None


class Proof(Noted):
    """A proof of the repair, passed or not."""

    kind: Literal["proof"]
    what: Note
    passed: bool


class SiteChosen(Noted):
    """The case goes on with this stored site as it is described now."""

    kind: Literal["site"]
    site: Id


class Closed(Noted):
    """The case ends."""

    kind: Literal["closed"]
    outcome: Literal["repaired", "works-as-designed", "handed-over", "not-found", "called-off"]
    note: Note | None = None


class Reopened(Noted):
    """The case goes on after all."""

    kind: Literal["reopened"]
    note: Note | None = None


CaseEventIn = Annotated[
    TextSaid
    | Understood
    | Answer
    | TookBack
    | Reading
    | NoteMade
    | HandOver
    | RemoteMode
    | CrewChanged
    | CauseConfirmed
    | RepairMade
    | Proof
    | SiteChosen
    | Closed
    | Reopened,
    Field(discriminator="kind"),
]


class EventsIn(In):
    """Events to add, kept all together or not at all."""

    events: Annotated[list[CaseEventIn], Field(min_length=1, max_length=50)]


def event_data(event: Noted) -> dict[str, Any]:
    """Return what is kept of an event besides its kind."""
    return event.model_dump(mode="json", exclude={"kind"}, exclude_none=True)


def kind_of(event: Noted) -> str:
    """Return the kind of an event."""
    kind: str = event.kind  # type: ignore[attr-defined]
    return kind


def when_noted(event: Noted) -> datetime | None:
    """Return when the event was written down, if that was said."""
    return event.noted_at
