"""What travels between the trainer's endpoints and their callers."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, StrictBool

from api.schemas import Id, In, Out
from diag.training.quiz import MOST_QUESTIONS

Feedback = Literal["instant", "final"]


def _no_truth_value(given: object) -> object:
    """Return what was given; raise ValueError for true and false, which Python takes for 1 and 0."""
    if isinstance(given, bool):
        raise ValueError("write 1, 2 or 3")
    return given


class QuizIn(In):
    """What a quiz is to be like."""

    site: Id | dict[str, Any] = Field(description="Id of a stored site, or a description inline.")
    questions: Annotated[int, Field(ge=1, le=MOST_QUESTIONS, strict=True)] = 20
    level: Annotated[Literal[1, 2, 3], BeforeValidator(_no_truth_value)] = 2
    seed: Annotated[int, Field(ge=0, lt=2**53, strict=True)] = 1
    topics: Annotated[list[Id], Field(max_length=20)] = Field(
        default=[], description="Families of causes; all if none."
    )
    kinds: Annotated[list[Id], Field(max_length=20)] = Field(default=[], description="Kinds of question; all if none.")
    language: Literal["en", "de", "da"] = "en"
    new_only: StrictBool = Field(default=False, description="Ask nothing that a quiz kept here asked before.")


class QuizSummaryOut(Out):
    """A quiz in a list."""

    id: str
    site: str
    level: int
    seed: int
    language: str
    topics: list[str]
    questions: int
    made_at: str


class QuizListOut(Out):
    """The quizzes kept, newest first."""

    quizzes: list[QuizSummaryOut]


class QuizOut(Out):
    """A quiz with its questions, right answers and reasons, for the trainer."""

    id: str
    quiz: dict[str, Any]


class StatementsOut(Out):
    """Answers as statements of the Experience API, to be sent to a learning record store as they are."""

    statements: list[dict[str, Any]]


class ClassIn(In):
    """A class to open for a quiz."""

    quiz: Id
    feedback: Feedback = Field(default="final", description="Tell the answer after each question, or at the end.")


class ClassOut(Out):
    """A class: learners join with its code, at its address."""

    code: str
    address: str
    quiz: str
    feedback: str
    is_open: bool
    ends_at: str


class ClassLearnerOut(Out):
    """How far one learner is."""

    learner: str
    answered: int
    right: int
    is_done: bool


class ItemProgressOut(Out):
    """How one question goes: how many answered, how many right."""

    id: str
    kind: str
    question: str
    answered: int
    right: int


class ClassOverviewOut(ClassOut):
    """A class as it goes on."""

    learners: list[ClassLearnerOut]
    items: list[ItemProgressOut]
    weakest_topics: list[str]


class SittingIn(In):
    """A class to join."""

    code: Annotated[str, Field(min_length=4, max_length=12)]


class AskedChoiceOut(Out):
    """One thing that can be answered, by its letter."""

    letter: str
    text: str


class AskedOut(Out):
    """A question as a learner sees it."""

    id: str
    kind: str
    topic: str
    language: str
    response: str
    stem: list[str]
    lead_in: str
    prompts: list[str]
    choices: list[AskedChoiceOut]
    is_partly_english: bool


class MarkOut(Out):
    """How an answer was: right or not, the right one in letters, why, and where to read on."""

    item: str
    is_right: bool
    given: list[str]
    right: list[str]
    why: str
    explanation: str
    references: list[str]


class PointsOut(Out):
    """So many right of so many, under a topic."""

    topic: str
    right: int
    asked: int


class ResultOut(Out):
    """How a learner did."""

    right: int
    asked: int
    topics: list[PointsOut]
    marks: list[MarkOut]


class SittingOut(Out):
    """A learner's sitting: the questions, what they answered by letter, and what may be told by now."""

    id: str
    learner: str
    site: str
    language: str
    feedback: str
    questions: list[AskedOut]
    answers: dict[str, list[str]]
    marks: list[MarkOut]
    result: ResultOut | None


class AnswerIn(In):
    """An answer: one letter, all letters in order, or a letter for each prompt."""

    given: Annotated[list[Annotated[str, Field(pattern=r"^[A-H]$")]], Field(min_length=1, max_length=8)]


class AnswerOut(Out):
    """That an answer is kept; with instant feedback also how it was."""

    item: str
    mark: MarkOut | None


class ItemStatisticsOut(Out):
    """How one question did. Figures are null where there is no answer or too little."""

    id: str
    question: str
    difficulty: float
    with_rest: float | None
    alpha_without: float | None
    choices: dict[str, float]
    flags: list[str]


class StatisticsOut(Out):
    """How a quiz did over all who finished it; the figures of its items only from enough learners on."""

    learners: int
    needed: int
    mean: float | None
    deviation: float | None
    alpha: float | None
    error: float | None
    items: list[ItemStatisticsOut]
