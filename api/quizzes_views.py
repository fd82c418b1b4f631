"""Describe quizzes, classes and sittings to callers; learners never see more than they may."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from api.quiz_store import QuizClass, Sitting
from api.quizzes_shapes import (
    AskedChoiceOut,
    AskedOut,
    ClassLearnerOut,
    ClassOut,
    ClassOverviewOut,
    ItemProgressOut,
    ItemStatisticsOut,
    MarkOut,
    PointsOut,
    QuizSummaryOut,
    ResultOut,
    SittingOut,
    StatisticsOut,
)
from diag.training.item import Item, Quiz
from diag.training.item_statistics import FEWEST_LEARNERS
from diag.training.results import ItemReport, QuizReport, report_on, result_of, weakest_topics

PAGE = "/quiz/"


def summarise_quiz(quiz: Quiz, made_at: str) -> QuizSummaryOut:
    """Return a quiz as lists show it."""
    return QuizSummaryOut(
        id=quiz.id,
        site=quiz.site,
        level=quiz.level,
        seed=quiz.seed,
        language=quiz.language,
        topics=list(quiz.topics),
        questions=len(quiz.items),
        made_at=made_at,
    )


def describe_class(it: QuizClass) -> ClassOut:
    """Return a class with the address at which learners join."""
    return ClassOut(
        code=it.code,
        address=f"{PAGE}#{it.code}",
        quiz=it.quiz,
        feedback=it.feedback,
        is_open=it.is_open,
        ends_at=it.ends_at,
    )


def overview(it: QuizClass, quiz: Quiz, sittings: Sequence[Sitting]) -> ClassOverviewOut:
    """Return how far each learner is, and how each question goes."""
    results = [result_of(answered(quiz, one), one.answers) for one in sittings if one.answers]
    return ClassOverviewOut(
        **describe_class(it).model_dump(),
        learners=[_learner(quiz, one) for one in sittings],
        items=[_progress(item, sittings) for item in quiz.items],
        weakest_topics=list(weakest_topics(results)),
    )


def answered(quiz: Quiz, it: Sitting) -> Quiz:
    """Return the quiz as far as a learner is: what is still to come is not got wrong."""
    return replace(quiz, items=tuple(item for item in quiz.items if item.id in it.answers))


def _learner(quiz: Quiz, it: Sitting) -> ClassLearnerOut:
    right = sum(item.is_right(it.answers[item.id]) for item in quiz.items if item.id in it.answers)
    return ClassLearnerOut(
        learner=it.learner, answered=len(it.answers), right=right, is_done=it.finished_at is not None
    )


def _progress(item: Item, sittings: Iterable[Sitting]) -> ItemProgressOut:
    given = [it.answers[item.id] for it in sittings if item.id in it.answers]
    return ItemProgressOut(
        id=item.id,
        kind=item.kind,
        question=" ".join((item.lead_in, *item.stem[1:])),
        answered=len(given),
        right=sum(map(item.is_right, given)),
    )


def describe_sitting(it: Sitting, of: QuizClass, quiz: Quiz) -> SittingOut:
    """Return the questions without their answers, and of those already answered what may be told."""
    is_done = it.finished_at is not None
    told = is_done or of.feedback == "instant"
    return SittingOut(
        id=it.id,
        learner=it.learner,
        site=quiz.site,
        language=quiz.language,
        feedback=of.feedback,
        questions=[describe_asked(item) for item in quiz.items],
        answers={item.id: in_letters(item, it.answers[item.id]) for item in quiz.items if item.id in it.answers},
        marks=[mark(item, it.answers[item.id]) for item in quiz.items if told and item.id in it.answers],
        result=describe_result(quiz, it) if is_done else None,
    )


def describe_asked(item: Item) -> AskedOut:
    """Return a question as a learner sees it."""
    return AskedOut(
        id=item.id,
        kind=item.kind,
        topic=item.topic,
        language=item.language,
        response=item.response,
        stem=list(item.stem),
        lead_in=item.lead_in,
        prompts=list(item.prompts),
        choices=[AskedChoiceOut(letter=item.letters[it.id], text=it.text) for it in item.choices],
        is_partly_english=bool(item.in_english),
    )


def in_letters(item: Item, given: Iterable[str]) -> list[str]:
    """Return choice ids as letters."""
    return [item.letters[it] for it in given]


def from_letters(item: Item, letters: Sequence[str]) -> tuple[str, ...] | None:
    """Return letters as choice ids; None when they are no answer to this question."""
    ids = {letter: choice for choice, letter in item.letters.items()}
    wanted = {"choice": 1, "order": len(item.choices), "match": len(item.prompts)}[item.response]
    is_order = item.response == "order" and len(set(letters)) != len(letters)
    if len(letters) != wanted or is_order or any(it not in ids for it in letters):
        return None
    return tuple(ids[it] for it in letters)


def mark(item: Item, given: tuple[str, ...]) -> MarkOut:
    """Return how an answer was."""
    chosen = next((it for it in item.choices if it.id == given[0]), None) if item.response == "choice" else None
    is_right = item.is_right(given)
    return MarkOut(
        item=item.id,
        is_right=is_right,
        given=in_letters(item, given),
        right=in_letters(item, item.answer),
        why=chosen.why if chosen and not is_right else "",
        explanation=item.explanation,
        references=[it.address for it in item.references],
    )


def describe_result(quiz: Quiz, it: Sitting) -> ResultOut:
    """Return points, by topic too, and how each answer was."""
    result = result_of(quiz, it.answers)
    return ResultOut(
        right=result.points.right,
        asked=result.points.asked,
        topics=[PointsOut(topic=name, right=one.right, asked=one.asked) for name, one in result.topics.items()],
        marks=[mark(item, it.answers[item.id]) for item in quiz.items if item.id in it.answers],
    )


def describe_statistics(quiz: Quiz, finished: Sequence[Sitting]) -> StatisticsOut:
    """Return the figures over those who finished; none of them while they are too few."""
    report = report_on(quiz, [it.answers for it in finished])
    if report is None or not report.figures.is_enough:
        return StatisticsOut(
            learners=len(finished), needed=FEWEST_LEARNERS, mean=None, deviation=None, alpha=None, error=None, items=[]
        )
    return _figures(quiz, report)


def _figures(quiz: Quiz, report: QuizReport) -> StatisticsOut:
    figures = report.figures
    return StatisticsOut(
        learners=figures.learners,
        needed=FEWEST_LEARNERS,
        mean=figures.mean,
        deviation=figures.deviation,
        alpha=figures.alpha,
        error=figures.error,
        items=[_item_figures(item, it) for item, it in zip(quiz.items, report.items, strict=True)],
    )


def _item_figures(item: Item, it: ItemReport) -> ItemStatisticsOut:
    return ItemStatisticsOut(
        id=item.id,
        question=item.lead_in,
        difficulty=it.figures.difficulty,
        with_rest=it.figures.with_rest,
        alpha_without=it.figures.alpha_without,
        choices={item.letters[one.choice]: one.share for one in it.use},
        flags=[one.says for one in it.flags],
    )
