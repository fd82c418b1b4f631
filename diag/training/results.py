"""Gather what learners answered: points for each topic, and the figures of a quiz over all who took it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from diag.training.choice_use import ChoiceUse, Flag, choice_use, flags
from diag.training.item import Quiz
from diag.training.item_statistics import ItemFigures, TestFigures, test_figures

Answers = Mapping[str, tuple[str, ...]]
"""What one learner answered: the choice ids given, by the id of the item; items not answered are absent."""


@dataclass(frozen=True, slots=True)
class Points:
    """So many right of so many."""

    right: int
    asked: int


@dataclass(frozen=True, slots=True)
class Result:
    """How one learner did: overall, and for each topic and kind of question."""

    points: Points
    topics: Mapping[str, Points]
    kinds: Mapping[str, Points]


@dataclass(frozen=True, slots=True)
class ItemReport:
    """How one question did over all who took the quiz to its end."""

    item: str
    figures: ItemFigures
    use: tuple[ChoiceUse, ...]
    flags: tuple[Flag, ...]


@dataclass(frozen=True, slots=True)
class QuizReport:
    """The figures of a quiz, and of each of its questions in order."""

    figures: TestFigures
    items: tuple[ItemReport, ...]


def result_of(quiz: Quiz, answers: Answers) -> Result:
    """Return how a learner did; a question without an answer counts as not right."""
    right = {it.id: it.id in answers and it.is_right(answers[it.id]) for it in quiz.items}
    return Result(
        points=Points(sum(right.values()), len(quiz.items)),
        topics=_points([(it.topic, right[it.id]) for it in quiz.items]),
        kinds=_points([(it.kind, right[it.id]) for it in quiz.items]),
    )


def _points(marks: Sequence[tuple[str, bool]]) -> dict[str, Points]:
    by_name: dict[str, list[bool]] = defaultdict(list)
    for name, is_right in marks:
        by_name[name].append(is_right)
    return {name: Points(sum(found), len(found)) for name, found in sorted(by_name.items())}


def report_on(quiz: Quiz, learners: Sequence[Answers]) -> QuizReport | None:
    """Return the figures over learners who took the quiz; None before anybody did."""
    if not learners:
        return None
    scores = [[float(it.id in one and it.is_right(one[it.id])) for it in quiz.items] for one in learners]
    figures = test_figures(scores)
    return QuizReport(
        figures, tuple(_item_report(quiz, place, learners, scores, figures) for place in range(len(quiz.items)))
    )


def _item_report(
    quiz: Quiz, place: int, learners: Sequence[Answers], scores: Sequence[Sequence[float]], figures: TestFigures
) -> ItemReport:
    item = quiz.items[place]
    rest = [sum(row) - row[place] for row in scores]
    use = choice_use(item, [one.get(item.id, ()) for one in learners], rest)
    found = figures.items[place]
    return ItemReport(item.id, found, use, flags(item, found, use, figures.learners))


def weakest_topics(results: Sequence[Result], most: int = 3) -> tuple[str, ...]:
    """Return the topics with the least share of right answers over all learners, weakest first."""
    sums: dict[str, list[int]] = defaultdict(lambda: [0, 0])
    for result in results:
        for topic, points in result.topics.items():
            sums[topic][0] += points.right
            sums[topic][1] += points.asked
    missed = {topic: right / asked for topic, (right, asked) in sums.items() if right < asked}
    return tuple(sorted(missed, key=lambda it: (missed[it], it))[:most])
