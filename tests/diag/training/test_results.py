"""Results of learners, use of choices, and what is flagged."""

from __future__ import annotations

from dataclasses import replace

from diag.training.item import Quiz
from diag.training.results import report_on, result_of, weakest_topics
from tests.diag.training.builders import question

ITEMS = tuple(
    replace(question("A broken core", "A stiff hinge", "A blown fuse", stem=f"Case {number}."), topic=topic)
    for number, topic in enumerate(("drive", "drive", "supply"))
)
QUIZ = Quiz("A hall", 1, 1, "en", "1", ITEMS)
FIRST, SECOND, THIRD = (it.id for it in ITEMS)
RIGHT, HINGE, FUSE = ("c0",), ("c1",), ("c2",)


def test_points_are_counted_for_each_topic_and_an_open_question_is_not_right() -> None:
    result = result_of(QUIZ, {FIRST: RIGHT, SECOND: HINGE})

    assert (result.points.right, result.points.asked) == (1, 3)
    assert {name: (it.right, it.asked) for name, it in result.topics.items()} == {"drive": (1, 2), "supply": (0, 1)}


def test_the_weakest_topic_comes_first_and_a_perfect_one_not_at_all() -> None:
    results = [result_of(QUIZ, {FIRST: RIGHT, SECOND: RIGHT, THIRD: FUSE})]

    assert weakest_topics(results) == ("supply",)


def test_a_wrong_answer_that_nobody_takes_is_flagged() -> None:
    strong = {FIRST: RIGHT, SECOND: RIGHT, THIRD: RIGHT}
    weak = {FIRST: HINGE, SECOND: HINGE, THIRD: FUSE}
    report = report_on(QUIZ, [strong] * 20 + [weak] * 20)

    assert report is not None
    assert [(it.kind, "blown fuse" in it.says) for it in report.items[0].flags] == [("unused", True)]
    assert [it.count for it in report.items[0].use] == [20, 20, 0]


def test_a_key_that_the_strong_get_wrong_is_flagged() -> None:
    strong = {FIRST: HINGE, SECOND: RIGHT, THIRD: RIGHT}
    weak = {FIRST: RIGHT, SECOND: HINGE, THIRD: FUSE}
    report = report_on(QUIZ, [strong] * 20 + [weak] * 20)

    assert report is not None
    assert {"negative", "draws-the-strong"} <= {it.kind for it in report.items[0].flags}


def test_nothing_is_flagged_for_a_few_learners() -> None:
    report = report_on(QUIZ, [{FIRST: HINGE}] * 5)

    assert report is not None
    assert [it.flags for it in report.items] == [(), (), ()]
    assert report_on(QUIZ, []) is None
