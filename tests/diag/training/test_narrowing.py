"""A large site is asked about controller by controller."""

from __future__ import annotations

import pytest

from diag.demo import load_demo
from diag.reasoner import Reasoner
from diag.site import Site
from diag.site_file import site_from_data
from diag.training.narrowing import MOST_DRIVES, part_for
from diag.training.opening import open_workshop
from diag.training.quiz import QuizRequest, make_quiz, proof_faults
from tests.builders import NOON


@pytest.fixture(scope="module")
def campus() -> Site:
    return load_demo("campus")


def test_a_small_site_stays_whole() -> None:
    site = load_demo("medium")

    assert part_for(site, 3) is site


def test_each_seed_takes_another_controller_with_what_hangs_on_it(campus: Site) -> None:
    parts = [part_for(campus, seed) for seed in range(4)]

    assert len({next(iter(it.controllers)) for it in parts}) == 4
    assert all(0 < len(it.drives) <= MOST_DRIVES for it in parts)
    assert all(it.zones and it.inputs and it.cables for it in parts)


@pytest.mark.parametrize("seed", range(3))
def test_a_part_is_a_site_without_a_fault(campus: Site, seed: int) -> None:
    part = part_for(campus, seed)
    described = part.model_dump(mode="json", by_alias=True, exclude_unset=True)

    assert site_from_data(described, "part").drives == part.drives


def test_a_quiz_about_a_campus_is_proved(reasoner: Reasoner, campus: Site) -> None:
    workshop = open_workshop(reasoner, campus, today=NOON.date(), seed=2)
    quiz = make_quiz(workshop, QuizRequest(questions=12, level=2, seed=2))

    assert [found for it in quiz.items if (found := proof_faults(workshop, it))] == []
