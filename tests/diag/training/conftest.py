"""Workshops and quizzes on the real demo sites, shared by the tests of training."""

from __future__ import annotations

import pytest

from diag.demo import load_demo
from diag.reasoner import Reasoner
from diag.training.item import Quiz
from diag.training.opening import open_workshop
from diag.training.quiz import QuizRequest, make_quiz
from diag.training.workshop import Workshop
from tests.builders import NOON


@pytest.fixture(scope="session")
def workshop(reasoner: Reasoner) -> Workshop:
    """Return the workshop of the medium demo site, in English."""
    return open_workshop(reasoner, load_demo("medium"), today=NOON.date())


@pytest.fixture(scope="session")
def small_workshop(reasoner: Reasoner) -> Workshop:
    """Return the workshop of the small demo site, in English."""
    return open_workshop(reasoner, load_demo("small"), today=NOON.date())


@pytest.fixture(scope="session")
def quiz(workshop: Workshop) -> Quiz:
    """Return a quiz of every kind of question."""
    return make_quiz(workshop, QuizRequest(questions=24, level=2, seed=11))
