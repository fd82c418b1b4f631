"""A learner's cards as a file keeps them: what was met, and what is due."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from diag.errors import DiagError
from diag.training.item import Item, Reference
from diag.training.repetition import Grade, Reminder, due_now, met, new_reminder
from knowledge.load import Knowledge


class UnreadableCards(DiagError):
    """A file that holds no cards."""

    def __init__(self, reason: str) -> None:
        super().__init__(f"The file of cards cannot be read: {reason}. Name another file, or move this one away.")


@dataclass
class Deck:
    """The cards of one learner by the entry they are about."""

    cards: dict[Reference, Reminder] = field(default_factory=dict)

    def note(self, knowledge: Knowledge, item: Item, is_right: bool, now: datetime) -> None:
        """Note an answer on the card of the entry that the question rests on first."""
        grade: Grade = "right" if is_right else "wrong"
        for reference in item.references[:1]:
            card = self.cards.get(reference) or new_reminder(knowledge, reference, now)
            self.cards[reference] = met(knowledge, card, grade, now)

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
        }
        for it in deck.cards.values()
    ]
    return json.dumps({"cards": rows}, indent=2) + "\n"


def deck_from(text: str) -> Deck:
    """Return the cards of a JSON text; raise UnreadableCards."""
    try:
        cards = [_card(it) for it in json.loads(text)["cards"]]
    except (ValueError, KeyError, TypeError) as error:
        raise UnreadableCards(f"{type(error).__name__}, {error}") from None
    return Deck({it.reference: it for it in cards})


def _card(row: Mapping[str, Any]) -> Reminder:
    reference = Reference(row["kind"], row["entry"])
    due = datetime.fromisoformat(row["due"])
    if due.tzinfo is None:
        raise ValueError(f"the time {row['due']} has no zone")
    return Reminder(reference, row["fingerprint"], json.dumps(row["state"]), due)
