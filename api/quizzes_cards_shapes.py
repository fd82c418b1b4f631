"""What travels between the cards of a learner and the learner."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from api.quizzes_shapes import AskedOut
from api.schemas import Id, In, Out
from diag.training.repetition import Grade

CardKind = Literal["symptoms", "causes", "checks", "cautions"]
LearnerCode = Annotated[str, Field(pattern=r"^[0-9A-Za-z]{4}-?[0-9A-Za-z]{4}-?[0-9A-Za-z]{4}$")]


class LearnerIn(In):
    """Cards to hand out: every question of a quiz is due at once."""

    quiz: Id


class KeepIn(In):
    """Where to keep the answers of a sitting: with the cards of a learner, or with new ones."""

    learner: LearnerCode | None = Field(default=None, description="A learner's code; a new one is made without it.")


class GradeIn(In):
    """How well a card was known."""

    grade: Grade = Field(description="wrong: not known; unsure: hardly; right: known; easy: known at once.")


class CardOut(Out):
    """A card: the entry it is about, and when it comes back."""

    kind: CardKind
    entry: str
    name: str
    address: str
    due: str


class DueCardOut(CardOut):
    """A card to meet now: the question, its right answer, and when it would come back after each grade."""

    question: AskedOut | None
    right: list[str]
    explanation: str
    next: dict[str, str]


class LearnerOut(Out):
    """The cards of a learner, the next one due first; nothing else is known of them."""

    learner: str
    address: str
    due: int
    next_due: str | None
    cards: list[CardOut]


class DueOut(Out):
    """The cards to meet now, longest due first."""

    learner: str
    left: int
    next_due: str | None
    cards: list[DueCardOut]
