"""A quiz as a table for spreadsheets, in which no cell can be taken for a formula."""

from __future__ import annotations

import csv
from io import StringIO

from diag.training.export.answers import answer_letters
from diag.training.item import LETTERS, Item, Quiz

MOST_CHOICES = 5
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")
"""What makes a spreadsheet take a cell for a formula; OWASP, CSV injection."""

COLUMNS = (
    "id", "kind", "level", "topic", "site", "language", "question", "prompts", *LETTERS[:MOST_CHOICES], "answer",
    "explanation", "reference",
)  # fmt: skip


def quiz_csv(quiz: Quiz) -> str:
    """Return a line for each question; times and numbers keep their form as text."""
    text = StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    writer.writerows([guarded(cell) for cell in _row(it)] for it in quiz.items)
    return text.getvalue()


def _row(item: Item) -> list[str]:
    choices = [it.text for it in item.choices] + [""] * MOST_CHOICES
    prompts = " / ".join(f"{number} {it}" for number, it in enumerate(item.prompts, 1))
    return [
        item.id,
        item.kind,
        str(item.level),
        item.topic,
        item.site,
        item.language,
        " ".join((*item.stem, item.lead_in)),
        prompts,
        *choices[:MOST_CHOICES],
        answer_letters(item),
        item.explanation,
        " ".join(it.address for it in item.references),
    ]


def guarded(cell: str) -> str:
    """Return a cell with an apostrophe before it where a spreadsheet would take it for a formula."""
    return f"'{cell}" if cell.startswith(FORMULA_STARTS) else cell
