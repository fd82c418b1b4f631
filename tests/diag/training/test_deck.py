"""A learner's cards: kept in a file, brought back when due."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta

import pytest

from diag.training.deck import Deck, UnknownCard, UnreadableCards, deck_from, deck_text, topics_of
from diag.training.item import Quiz, Reference
from knowledge.load import Knowledge

NOW = datetime(2026, 5, 4, 9, 0, tzinfo=UTC)


def answered(knowledge: Knowledge, quiz: Quiz, is_right: bool) -> Deck:
    """Return the cards after a whole quiz answered one way."""
    deck = Deck()
    for item in quiz.items:
        deck.note(knowledge, item, is_right, NOW)
    return deck


def test_cards_come_back_from_their_file(knowledge: Knowledge, quiz: Quiz) -> None:
    deck = answered(knowledge, quiz, True)

    assert deck.cards
    assert deck_from(deck_text(deck)).cards.keys() == deck.cards.keys()
    assert deck_from(deck_text(deck)).due(knowledge, NOW + timedelta(days=30)) == deck.due(
        knowledge, NOW + timedelta(days=30)
    )


def test_the_question_last_asked_comes_back_with_its_card(knowledge: Knowledge, quiz: Quiz) -> None:
    deck = answered(knowledge, quiz, True)

    assert deck_from(deck_text(deck)).asked == deck.asked
    assert set(deck.asked) == set(deck.cards)


def test_a_card_of_a_file_without_questions_is_still_read(knowledge: Knowledge, quiz: Quiz) -> None:
    rows = json.loads(deck_text(answered(knowledge, quiz, True)))["cards"]
    older = json.dumps({"cards": [{name: it for name, it in row.items() if name != "question"} for row in rows]})

    assert deck_from(older).asked == {}
    assert len(deck_from(older).cards) == len(rows)


def test_a_card_that_is_not_there_cannot_be_graded(knowledge: Knowledge) -> None:
    with pytest.raises(UnknownCard, match="no-such-cause"):
        Deck().rate(knowledge, Reference("causes", "no-such-cause"), "right", NOW)


def test_a_card_says_when_it_was_met_last(knowledge: Knowledge, quiz: Quiz) -> None:
    item = next(it for it in quiz.items if it.references)
    deck = Deck()
    never = deck.met_last(item)
    deck.note(knowledge, item, True, NOW)

    assert never < NOW
    assert deck.met_last(item) == NOW


def test_what_was_wrong_is_due_before_what_was_right(knowledge: Knowledge, quiz: Quiz) -> None:
    soon = NOW + timedelta(minutes=5)

    assert answered(knowledge, quiz, False).due(knowledge, soon)
    assert not answered(knowledge, quiz, True).due(knowledge, soon)


def test_due_causes_lead_to_their_topics(knowledge: Knowledge, quiz: Quiz) -> None:
    causes = [it for it in answered(knowledge, quiz, False).cards if it.kind == "causes"]

    assert set(topics_of(knowledge, causes)) == {knowledge.causes[it.entry].family for it in causes}


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{}",
        '{"cards": [{}]}',
        '{"cards": [{"kind": "causes", "entry": "x", "fingerprint": "", "state": {}, "due": "2026-05-04"}]}',
    ],
)
def test_a_file_without_cards_is_refused_in_words(text: str) -> None:
    with pytest.raises(UnreadableCards, match="cannot be read"):
        deck_from(text)
