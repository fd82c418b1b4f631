"""What to do next when minutes to a proved repair count: checks, attempts, calls."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from diag.repair_planning import (
    NEVER,
    Prices,
    Prospect,
    after_attempts,
    after_checks,
    attempt_order,
    attempts_minutes,
    best_step,
    look_ahead,
    price_of_a_bit,
)

SHARP = [[1.0, 0.0], [0.0, 1.0]]
BLUNT = [[0.5, 0.5], [0.5, 0.5]]


def prospect(
    beliefs: list[float], checks: list[list[list[float]]], minutes: list[float], look: list[float], call: float = 480.0
) -> Prospect:
    """Return a prospect from tables[check][hypothesis][outcome]."""
    prices = Prices(np.array(look), np.zeros(len(look)), call)
    chances = np.array(checks).reshape(len(checks), len(beliefs), 2)
    return Prospect(np.array(beliefs), chances, np.array(minutes), prices)


def test_a_cheap_check_that_settles_it_comes_before_a_long_repair() -> None:
    step = best_step(prospect([0.5, 0.5], [SHARP], [5.0], [60.0, 60.0]))

    assert (step.kind, step.place) == ("check", 0)
    assert step.minutes == pytest.approx(65.0)


def test_a_short_repair_is_its_own_test_where_the_check_takes_longer() -> None:
    step = best_step(prospect([0.8, 0.2], [SHARP], [20.0], [5.0, 60.0]))

    assert (step.kind, step.place) == ("attempt", 0)
    assert step.minutes == pytest.approx(5.0 + 0.2 * 60.0)


def test_a_check_that_tells_nothing_is_never_next() -> None:
    assert best_step(prospect([0.5, 0.5], [BLUNT], [1.0], [60.0, 60.0])).kind == "attempt"


def test_help_is_called_when_trying_on_costs_more() -> None:
    step = best_step(prospect([0.5, 0.5], [BLUNT], [1.0], [400.0, 400.0], call=300.0))

    assert step.kind == "call"
    assert step.minutes == 300.0


def test_what_nobody_there_may_mend_is_not_tried() -> None:
    step = best_step(prospect([0.9, 0.1], [BLUNT], [1.0], [NEVER, 30.0], call=200.0))

    assert step.kind == "call"


def test_a_walk_to_a_repair_counts() -> None:
    near = prospect([0.5, 0.5], [BLUNT], [1.0], [30.0, 30.0])
    far = Prospect(near.beliefs, near.chances, near.minutes, near.prices, np.array([10.0, 0.0]))

    assert best_step(far).place == 1


def test_attempts_are_ordered_by_probability_for_minutes() -> None:
    prices = Prices(np.array([10.0, 2.0, NEVER]), np.zeros(3), 100.0)

    assert attempt_order(np.array([0.5, 0.3, 0.2]), prices) == [1, 0]


def test_beliefs_after_a_check_are_those_of_bayes() -> None:
    outcomes, after = after_checks(np.array([0.6, 0.4]), np.array([[[0.9, 0.1], [0.2, 0.8]]]))

    assert outcomes[0] == pytest.approx([0.62, 0.38])
    assert after[0, 0] == pytest.approx([0.54 / 0.62, 0.08 / 0.62])


def test_beliefs_after_an_attempt_in_vain_leave_that_cause_out() -> None:
    assert after_attempts(np.array([0.5, 0.3, 0.2]))[0] == pytest.approx([0.0, 0.6, 0.4])


def test_the_price_of_a_bit_is_that_of_the_best_offer() -> None:
    assert price_of_a_bit(prospect([0.5, 0.5], [SHARP, BLUNT], [4.0, 1.0], [60.0, 60.0])) == pytest.approx(4.0)


def test_many_beliefs_at_once_cost_what_each_costs_alone() -> None:
    prices = Prices(np.array([10.0, 20.0, 5.0]), np.array([1.0, 2.0, 3.0]), 50.0)
    many = np.array([[0.2, 0.5, 0.3], [0.9, 0.05, 0.05], [0.1, 0.1, 0.8]])

    assert attempts_minutes(many, prices) == pytest.approx([float(attempts_minutes(it, prices)) for it in many])


def test_equal_minutes_are_settled_by_the_order_of_the_checks() -> None:
    outlook = look_ahead(prospect([0.5, 0.5], [SHARP, SHARP], [5.0, 5.0], [60.0, 60.0]))

    assert outlook.checks[0] == outlook.checks[1]
    assert outlook.best().place == 0


def test_two_steps_ahead_a_pair_of_half_answers_is_worth_its_minutes() -> None:
    left, right = [[1.0, 0.0], [1.0, 0.0], [0.0, 1.0], [0.0, 1.0]], [[1.0, 0.0], [0.0, 1.0]] * 2
    four = prospect([0.25] * 4, [left, right], [6.0, 6.0], [60.0] * 4)

    assert look_ahead(four, depth=2).best().kind == "check"
    assert look_ahead(four, depth=2).best().minutes == pytest.approx(72.0)


def test_the_walk_back_counts_when_two_steps_are_seen() -> None:
    left, right = [[1.0, 0.0], [1.0, 0.0], [0.0, 1.0], [0.0, 1.0]], [[1.0, 0.0], [0.0, 1.0]] * 2
    near = prospect([0.25] * 4, [left, right], [6.0, 6.0], [60.0] * 4)
    far = replace(near, next_minutes=np.array([[6.0, 16.0], [6.0, 6.0]]))

    assert look_ahead(far, depth=2).checks == pytest.approx([82.0, 72.0])
