"""Answers that hardly fit the others are named, and soft answers weigh less."""

from __future__ import annotations

import numpy as np
import pytest

from diag.doubts import chance_by_the_others, doubts
from diag.observations import Finding
from diag.ranking import posterior
from diag.reasoner import PreparedSite, Reasoner
from diag.reasoning import Reasoning
from diag.weighing import Weight, latest, softened, weigh
from tests.builders import reasoning_of

SOUND = (
    Finding("ohms-fuse-output", "open", "out1"),
    Finding("ohms-line", "normal", "out1"),
    Finding("try-neighbours", "neighbours-still", "d1"),
)
ODD = Finding("look-output-lamp", "on-unasked", "out1")


@pytest.fixture
def opened(reasoner: Reasoner, small: PreparedSite) -> Reasoning:
    return reasoning_of(reasoner, small, "drive-dead@d1", "drive-dead@d2")


def weight_of(reasoner: Reasoner, opened: Reasoning, *findings: Finding) -> Weight:
    return weigh(reasoner, opened, findings)


def test_an_answer_against_all_the_others_is_named(reasoner: Reasoner, opened: Reasoning) -> None:
    named = doubts(reasoner, weight_of(reasoner, opened, *SOUND, ODD))

    assert [it.finding for it in named][:1] == [ODD]
    assert 0.3 <= named[0].chance <= 1.0


def test_answers_that_fit_together_are_not_doubted(reasoner: Reasoner, opened: Reasoning) -> None:
    assert doubts(reasoner, weight_of(reasoner, opened, *SOUND)) == ()


def test_the_chance_of_an_answer_by_the_others_is_what_they_expect_of_it(reasoner: Reasoner, opened: Reasoning) -> None:
    after = weight_of(reasoner, opened, *SOUND, ODD)
    before = weight_of(reasoner, opened, *SOUND)

    expected = float(before.probabilities @ after.weighed[-1].chances)

    assert chance_by_the_others(after, after.weighed[-1]) == pytest.approx(expected, abs=1e-9)


def test_a_second_look_takes_the_first_back(reasoner: Reasoner, opened: Reasoning) -> None:
    again = Finding(ODD.check, "dark", ODD.part)

    corrected = weight_of(reasoner, opened, *SOUND, ODD, again).probabilities

    assert corrected == pytest.approx(weight_of(reasoner, opened, *SOUND, again).probabilities, abs=1e-12)


def test_a_second_look_that_could_not_be_made_leaves_the_first() -> None:
    cannot = Finding(ODD.check, "cannot", ODD.part)

    assert ODD in latest([*SOUND, ODD, cannot])


def test_an_answer_somebody_only_thinks_moves_less(reasoner: Reasoner, opened: Reasoning) -> None:
    prior = weight_of(reasoner, opened).probabilities
    sure = weight_of(reasoner, opened, SOUND[0]).probabilities
    soft = weight_of(reasoner, opened, Finding("ohms-fuse-output", "open", "out1", certainty=0.5)).probabilities

    assert np.abs(soft - prior).sum() < np.abs(sure - prior).sum()
    fuse = [it.cause for it in opened.hypotheses.open].index("output-fuse-blown")
    assert prior[fuse] < soft[fuse] < sure[fuse]


def test_an_answer_of_no_certainty_changes_nothing() -> None:
    chances = np.array([0.9, 0.1])

    assert posterior([1, 3], [softened(chances, 0.0, 2)]) == pytest.approx([0.25, 0.75])
    assert softened(chances, 1.0, 2) is chances
