"""Say when a learner meets a piece of knowledge again: the FSRS-6 schedule of the library fsrs, without its dice.

A card belongs to an entry of the knowledge base. When the entry changes, its cards are due at once.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from hashlib import sha256
from typing import Literal, get_args

from fsrs import Card, Rating, Scheduler

from diag.training.item import Reference
from knowledge.load import Knowledge

Grade = Literal["wrong", "unsure", "right", "easy"]
RATINGS = {"wrong": Rating.Again, "unsure": Rating.Hard, "right": Rating.Good, "easy": Rating.Easy}


@dataclass(frozen=True, slots=True)
class Reminder:
    """A card of one learner: the entry, its text when it was last met, the schedule's own state, and when it is due."""

    reference: Reference
    fingerprint: str
    state: str
    due: datetime


def new_reminder(knowledge: Knowledge, reference: Reference, now: datetime) -> Reminder:
    """Return a card that is due now."""
    card = Card(card_id=0, due=now.astimezone(UTC))
    return Reminder(reference, fingerprint(knowledge, reference), card.to_json(), card.due)


def met(knowledge: Knowledge, it: Reminder, grade: Grade, now: datetime) -> Reminder:
    """Return the card after an answer."""
    scheduler = Scheduler(enable_fuzzing=False)
    card, _ = scheduler.review_card(Card.from_json(it.state), RATINGS[grade], now.astimezone(UTC))
    return Reminder(it.reference, fingerprint(knowledge, it.reference), card.to_json(), card.due)


def last_met(it: Reminder) -> datetime:
    """Return when a card was met last; the beginning of time where it never was."""
    return Card.from_json(it.state).last_review or datetime.min.replace(tzinfo=UTC)


def next_dues(knowledge: Knowledge, it: Reminder, now: datetime) -> Mapping[Grade, datetime]:
    """Return when a card would come back after each grade."""
    return {grade: met(knowledge, it, grade, now).due for grade in get_args(Grade)}


def due_now(knowledge: Knowledge, reminders: Iterable[Reminder], now: datetime) -> tuple[Reminder, ...]:
    """Return the cards to meet now, longest due first: those that are due, and those whose entry changed."""
    found = [it for it in reminders if it.due <= now or it.fingerprint != fingerprint(knowledge, it.reference)]
    return tuple(sorted(found, key=lambda it: (it.due, it.reference.kind, it.reference.entry)))


def fingerprint(knowledge: Knowledge, reference: Reference) -> str:
    """Return a short name of what an entry says today; empty when it is there no longer."""
    entry = getattr(knowledge, reference.kind).get(reference.entry)
    return sha256(entry.model_dump_json().encode()).hexdigest()[:16] if entry else ""
