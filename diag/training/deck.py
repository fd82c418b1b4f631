"""A learner's cards as a file keeps them: what was met, and what is due."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any

from diag.errors import DiagError, UnknownName
from diag.training.export.plain_data import item_data, item_from_data
from diag.training.item import Item, Reference
from diag.training.repetition import Grade, Reminder, due_now, last_met, met, new_reminder
from knowledge.load import Knowledge


class UnreadableCards(DiagError):
    """A file that holds no cards."""

    def __init__(self, reason: str) -> None:
        super().__init__(f"The file of cards cannot be read: {reason}. Name another file, or move this one away.")


class UnknownCard(UnknownName):
    """The learner has no card about this entry."""

    thing = "card"


@dataclass
class Deck:
    """The cards of one learner by the entry they are about, and the question last asked about each."""

    cards: dict[Reference, Reminder] = field(default_factory=dict)
    asked: dict[Reference, Item] = field(default_factory=dict)

    def add(self, knowledge: Knowledge, item: Item, now: datetime) -> None:
        """Put a question on the card of the entry that it rests on first; a new card is due at once."""
        for reference in item.references[:1]:
            self.asked[reference] = item
            self.cards.setdefault(reference, new_reminder(knowledge, reference, now))

    def note(self, knowledge: Knowledge, item: Item, is_right: bool, now: datetime) -> None:
        """Note an answer on the card of the entry that the question rests on first."""
        self.add(knowledge, item, now)
        for reference in item.references[:1]:
            self.rate(knowledge, reference, "right" if is_right else "wrong", now)

    def met_last(self, item: Item) -> datetime:
        """Return when the card of a question was met last; the beginning of time where it never was."""
        for reference in item.references[:1]:
            if reference in self.cards:
                return last_met(self.cards[reference])
        return datetime.min.replace(tzinfo=UTC)

    def rate(self, knowledge: Knowledge, reference: Reference, grade: Grade, now: datetime) -> Reminder:
        """Return the card of an entry after a grade; raise UnknownCard."""
        if reference not in self.cards:
            raise UnknownCard(reference.entry, sorted(it.entry for it in self.cards))
        self.cards[reference] = met(knowledge, self.cards[reference], grade, now)
        return self.cards[reference]

    def due(self, knowledge: Knowledge, now: datetime) -> tuple[Reference, ...]:
        """Return the entries to meet now, longest due first."""
        return tuple(it.reference for it in due_now(knowledge, self.cards.values(), now))


def topics_of(knowledge: Knowledge, references: Iterable[Reference]) -> tuple[str, ...]:
    """Return the topics of questions in which these entries can be met: the families of the causes among them."""
    families = (knowledge.causes[it.entry].family for it in references if it.entry in knowledge.causes)
    return tuple(dict.fromkeys(families))


def deck_text(deck: Deck) -> str:
    """Return the cards as JSON text."""
    rows = [
        {
            "kind": it.reference.kind,
            "entry": it.reference.entry,
            "fingerprint": it.fingerprint,
            "state": json.loads(it.state),
            "due": it.due.isoformat(),
            "question": item_data(deck.asked[it.reference]) if it.reference in deck.asked else None,
        }
        for it in deck.cards.values()
    ]
    return json.dumps({"cards": rows}, indent=2) + "\n"


def deck_from(text: str) -> Deck:
    """Return the cards of a JSON text; raise UnreadableCards."""
    try:
        rows = json.loads(text)["cards"]
        cards = {it.reference: it for it in map(_card, rows)}
        asked = {_reference(it): item_from_data(it["question"]) for it in rows if it.get("question")}
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise UnreadableCards(f"{type(error).__name__}, {error}") from None
    return Deck(cards, asked)


def _reference(row: Mapping[str, Any]) -> Reference:
    return Reference(row["kind"], row["entry"])


def _card(row: Mapping[str, Any]) -> Reminder:
    due = datetime.fromisoformat(row["due"])
    if due.tzinfo is None:
        raise ValueError(f"the time {row['due']} has no zone")
    return Reminder(_reference(row), row["fingerprint"], json.dumps(row["state"]), due)
