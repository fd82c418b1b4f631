"""Quizzes: the same for the same request, every answer proved, no question twice."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest

from diag.demo import load_demo
from diag.reasoner import Reasoner
from diag.training.item import Item, Level, Quiz
from diag.training.kinds.register import KINDS
from diag.training.lint import faults_of
from diag.training.opening import open_workshop
from diag.training.phrases import LANGUAGES, UnknownLanguage
from diag.training.quiz import (
    QuizRequest,
    TooNarrow,
    UnknownKind,
    UnknownTopic,
    make_quiz,
    proof_faults,
)
from diag.training.workshop import TOPICS, Workshop
from tests.builders import NOON


def test_there_are_nine_kinds_of_question_and_more() -> None:
    assert len(KINDS) >= 9


def test_the_same_seed_gives_the_same_quiz_from_a_fresh_workshop(reasoner: Reasoner, quiz: Quiz) -> None:
    fresh = open_workshop(reasoner, load_demo("medium"), today=NOON.date())

    assert make_quiz(fresh, QuizRequest(questions=24, level=2, seed=11)) == quiz


def test_another_seed_gives_other_questions(workshop: Workshop, quiz: Quiz) -> None:
    other = make_quiz(workshop, QuizRequest(questions=12, level=2, seed=12))

    assert len({it.id for it in other.items} & {it.id for it in quiz.items}) <= 1


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("level", [1, 2, 3])
def test_each_kind_makes_questions_at_each_level_that_are_proved_and_keep_to_the_rules(
    workshop: Workshop, kind: str, level: Level
) -> None:
    quiz = make_quiz(workshop, QuizRequest(questions=3, level=level, seed=5, kinds=(kind,)))

    assert [(it.kind, proof_faults(workshop, it), faults_of(it)) for it in quiz.items] == [(kind, (), ())] * 3


def test_no_question_comes_twice(quiz: Quiz) -> None:
    assert len({it.likeness for it in quiz.items}) == len(quiz.items)


def test_questions_asked_before_are_not_asked_again(workshop: Workshop) -> None:
    first = make_quiz(workshop, QuizRequest(questions=6, seed=3))
    second = make_quiz(workshop, QuizRequest(questions=6, seed=3, avoid=frozenset(it.likeness for it in first.items)))

    assert not {it.likeness for it in first.items} & {it.likeness for it in second.items}


def test_right_answers_are_spread_over_the_places(workshop: Workshop) -> None:
    quiz = make_quiz(workshop, QuizRequest(questions=40, level=1, seed=2))
    placed = [it for it in quiz.items if it.response == "choice" and not it.is_rising and len(it.choices) == 3]
    places = Counter(it.choices.index(it.key) for it in placed)

    assert len(placed) >= 10
    assert max(places.values()) - min(places[it] for it in range(3)) <= 1


@pytest.mark.parametrize("topic", TOPICS)
def test_a_quiz_on_one_topic_keeps_to_it(workshop: Workshop, topic: str) -> None:
    quiz = make_quiz(workshop, QuizRequest(questions=4, level=1, seed=4, topics=(topic,)))

    assert {it.topic for it in quiz.items} == {topic}


def test_a_small_site_gives_a_quiz_as_well(small_workshop: Workshop) -> None:
    quiz = make_quiz(small_workshop, QuizRequest(questions=20, level=3, seed=8))

    assert [found for it in quiz.items if (found := proof_faults(small_workshop, it))] == []


@pytest.mark.parametrize("language", [it for it in LANGUAGES if it != "en"])
def test_a_quiz_in_another_language_asks_in_it_and_says_what_stays_english(reasoner: Reasoner, language: str) -> None:
    workshop = open_workshop(reasoner, load_demo("medium"), language, NOON.date())
    quiz = make_quiz(workshop, QuizRequest(questions=16, seed=6))
    english = {workshop_line(reasoner, it) for it in quiz.items}

    assert all(it.language == language for it in quiz.items)
    assert not english & {it.lead_in for it in quiz.items}
    assert any("explanation" in it.in_english for it in quiz.items)


def workshop_line(reasoner: Reasoner, item: Item) -> str:
    """Return the lead-in of the item's kind in English."""
    phrase = {"match-causes": "match", "dead-working": "dead-working"}.get(item.kind, item.kind)
    workshop = open_workshop(reasoner, load_demo("medium"), today=NOON.date())
    return workshop.phrases.say(phrase, zone="the zone")


def test_a_spoilt_key_is_found_by_the_proof(workshop: Workshop, quiz: Quiz) -> None:
    chosen = [it for it in quiz.items if it.response == "choice"]
    spoilt = [replace(it, answer=(it.wrong[0].id,)) for it in chosen]

    assert [it.kind for it in spoilt if not proof_faults(workshop, it)] == []


def test_what_is_not_known_is_refused_by_name(workshop: Workshop, reasoner: Reasoner) -> None:
    with pytest.raises(UnknownTopic, match="wirring"):
        make_quiz(workshop, QuizRequest(topics=("wirring",)))
    with pytest.raises(UnknownKind, match="riddle"):
        make_quiz(workshop, QuizRequest(kinds=("riddle",)))
    with pytest.raises(UnknownLanguage, match="fr"):
        open_workshop(reasoner, load_demo("small"), "fr")


def test_a_request_the_site_cannot_fill_says_how_many_it_can(small_workshop: Workshop) -> None:
    with pytest.raises(TooNarrow, match=r"Only \d+ of 100"):
        make_quiz(small_workshop, QuizRequest(questions=100, level=1, kinds=("reading-here",), topics=("input",)))
