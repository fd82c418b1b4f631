"""Spaced repetition: the library's schedule, and cards whose entry changed."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest

from diag.training.item import Reference
from diag.training.repetition import Grade, due_now, last_met, met, new_reminder, next_dues
from knowledge.load import Knowledge

START = datetime(2026, 5, 4, 9, 0, tzinfo=UTC)
FUSE = Reference("causes", "output-fuse-blown")


def test_the_intervals_are_those_of_the_published_schedule(knowledge: Knowledge) -> None:
    """FSRS-6 with its own weights, worked out with fsrs 6.3.2: six times right, once wrong, twice right."""
    reminder, at = new_reminder(knowledge, FUSE, START), START
    dues = [at]
    grades: tuple[Grade, ...] = (*("right",) * 6, "wrong", "right", "right")
    for grade in grades:
        reminder = met(knowledge, reminder, grade, at)
        at = reminder.due
        dues.append(at)
    steps = [two - one for one, two in pairwise(dues)]

    assert steps[0] == steps[6] == timedelta(minutes=10)
    assert [it.days for it in steps] == [0, 2, 11, 46, 163, 498, 0, 7, 17]


def test_a_wrong_answer_comes_back_before_a_right_one(knowledge: Knowledge) -> None:
    card = new_reminder(knowledge, FUSE, START)

    assert met(knowledge, card, "wrong", START).due < met(knowledge, card, "right", START).due


def test_cards_are_due_in_order_and_later_ones_are_left(knowledge: Knowledge) -> None:
    late = new_reminder(knowledge, FUSE, START - timedelta(days=2))
    fresh = new_reminder(knowledge, Reference("checks", "volts-drive"), START)
    learnt = met(knowledge, new_reminder(knowledge, Reference("causes", "battery-aged"), START), "easy", START)

    assert due_now(knowledge, [fresh, learnt, late], START) == (late, fresh)


def test_a_card_is_due_at_once_when_its_entry_changed(knowledge: Knowledge) -> None:
    learnt = met(knowledge, new_reminder(knowledge, FUSE, START), "easy", START)

    assert due_now(knowledge, [learnt], START) == ()
    assert due_now(knowledge, [replace(learnt, fingerprint="as it was")], START) != ()


@pytest.mark.parametrize("grade", ["wrong", "unsure", "right", "easy"])
def test_every_grade_leads_to_a_later_time(knowledge: Knowledge, grade: Grade) -> None:
    assert met(knowledge, new_reminder(knowledge, FUSE, START), grade, START).due > START


def test_the_dates_told_beforehand_are_those_that_come(knowledge: Knowledge) -> None:
    card = new_reminder(knowledge, FUSE, START)
    told = next_dues(knowledge, card, START)

    assert list(told) == ["wrong", "unsure", "right", "easy"]
    assert {grade: met(knowledge, card, grade, START).due for grade in told} == dict(told)
    assert last_met(card) < last_met(met(knowledge, card, "right", START)) == START
