"""Sit a quiz at the terminal: one question at a time, told at once, with cards that bring back what was wrong."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import click

from api.cli.plain import print_wrapped
from diag.training.deck import Deck, deck_from, deck_text
from diag.training.export.answers import answer_letters, labelled
from diag.training.item import Item, Quiz
from diag.training.phrases import load_phrases
from diag.training.results import result_of
from knowledge.load import Knowledge


def read_deck(file: Path | None) -> Deck:
    """Return the cards of a file, none where it is not there yet; raise UnreadableCards."""
    return deck_from(file.read_text(encoding="utf-8")) if file and file.exists() else Deck()


def sit(knowledge: Knowledge, quiz: Quiz, deck: Deck, file: Path | None) -> None:
    """Ask every question, tell how each answer was, and keep the cards after each."""
    given: dict[str, tuple[str, ...]] = {}
    for number, item in enumerate(quiz.items, 1):
        _show(number, len(quiz.items), item)
        given[item.id] = _asked(item)
        is_right = item.is_right(given[item.id])
        _tell(item, is_right)
        deck.note(knowledge, item, is_right, datetime.now(UTC))
        if file:
            file.write_text(deck_text(deck), encoding="utf-8")
    _tell_result(quiz, given)


def _show(number: int, count: int, item: Item) -> None:
    click.echo(f"\n{number} of {count}")
    for sentence in item.stem:
        print_wrapped(sentence)
    print_wrapped(f"\n{item.lead_in}".strip())
    for place, prompt in enumerate(item.prompts, 1):
        print_wrapped(f"  {place}. {prompt}", "     ")
    for letter, text in labelled(item):
        print_wrapped(f"  {letter}) {text}", "     ")


def _asked(item: Item) -> tuple[str, ...]:
    """Return the choice ids of the letters typed, asking again until they answer the question."""
    ids = {letter: choice for choice, letter in item.letters.items()}
    wanted = {"choice": 1, "order": len(item.choices), "match": len(item.prompts)}[item.response]
    hint = {"choice": "Letter", "order": "Letters in order", "match": "A letter for each number"}[item.response]
    while True:
        letters = [it for it in click.prompt(hint).upper() if it.isalpha()]
        if len(letters) == wanted and all(it in ids for it in letters):
            return tuple(ids[it] for it in letters)
        click.echo(f"Type {wanted} of the letters above.")


def _tell(item: Item, is_right: bool) -> None:
    words = load_phrases(item.language)
    right = "" if is_right else f": {answer_letters(item)}"
    print_wrapped(f"{words['yes' if is_right else 'no']}{right}. {item.explanation}")
    for reference in item.references[:1]:
        click.echo(f"See {reference.address}")


def _tell_result(quiz: Quiz, given: dict[str, tuple[str, ...]]) -> None:
    result = result_of(quiz, given)
    click.echo(f"\n{result.points.right} of {result.points.asked} right")
    for topic, points in result.topics.items():
        click.echo(f"  {topic}: {points.right} of {points.asked}")
