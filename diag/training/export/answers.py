"""Say the right answer of a question in letters and in words."""

from __future__ import annotations

from diag.training.item import Item

NOTE_ENGLISH = "english-only"


def answer_letters(item: Item) -> str:
    """Return `B`, `C A B D` for an order, or `1 C, 2 A, 3 D` for pairs."""
    letters = [item.letters[it] for it in item.answer]
    if item.response == "match":
        return ", ".join(f"{number} {letter}" for number, letter in enumerate(letters, 1))
    return " ".join(letters)


def labelled(item: Item) -> list[tuple[str, str]]:
    """Return each choice with its letter."""
    return [(item.letters[it.id], it.text) for it in item.choices]
