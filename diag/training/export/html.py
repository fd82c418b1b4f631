"""A quiz as a page to print: the sheet of questions, and on pages of its own the sheet of answers."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape
from pathlib import Path

from diag.training.export.answers import answer_letters
from diag.training.item import Item, Quiz
from diag.training.phrases import load_phrases

STYLE = Path(__file__).with_name("quiz.css")
LANGUAGES = {"en": "en-GB", "de": "de", "da": "da"}


def quiz_page(quiz: Quiz) -> str:
    """Return the whole page, its style included; it needs nothing from outside."""
    site, words = escape(quiz.site), load_phrases(quiz.language)
    fields = "".join(f"<span>{escape(words[it])}</span>" for it in ("sheet-name", "sheet-date", "sheet-points"))
    heading = words["sheet-quiz"].format(level=quiz.level, seed=quiz.seed)
    below = words["sheet-answers-of"].format(seed=quiz.seed)
    questions = "".join(_question(number, it) for number, it in enumerate(quiz.items, 1))
    answers = "".join(_answer(number, it) for number, it in enumerate(quiz.items, 1))
    return "".join(
        (
            f'<!doctype html>\n<html lang="{LANGUAGES[quiz.language]}"><head><meta charset="utf-8">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f"<title>{words['sheet-title'].format(site=site)}</title><style>{quiz_style()}</style></head><body>\n",
            f"<main><h1><small>{heading}</small>{site}</h1>\n",
            f'<p class="name">{fields}</p>\n',
            f"{questions}</main>\n",
            f'<section class="answers"><h1><small>{below}</small>{site}</h1>\n{answers}</section>\n',
            "</body></html>\n",
        )
    )


def quiz_style() -> str:
    """Return the style of the page, as it stands in it."""
    return STYLE.read_text(encoding="utf-8")


def _question(number: int, item: Item) -> str:
    note = f'<p class="note">{escape(load_phrases(item.language)["english-only"])}</p>' if item.in_english else ""
    prompts = "".join(f'<li>{escape(it)} <span class="blank"></span></li>' for it in item.prompts)
    choices = "".join(f"<li>{escape(it.text)}</li>" for it in item.choices)
    return (
        f'<section class="question"><h2>{number}</h2>{_paragraphs(item.stem)}{note}'
        f'<p class="ask">{escape(item.lead_in)}</p>'
        f"{f'<ol>{prompts}</ol>' if prompts else ''}"
        f'<ol class="choices">{choices}</ol>{_room(item)}</section>\n'
    )


def _room(item: Item) -> str:
    """Return the line on which an order is written down."""
    return '<p><span class="blank"></span></p>' if item.response == "order" else ""


def _answer(number: int, item: Item) -> str:
    wrong = "".join(f"<li>{item.letters[it.id]}: {escape(it.why)}</li>" for it in item.wrong)
    pages = "".join(f"<li><code>{escape(it.address)}</code></li>" for it in item.references)
    return (
        f'<section class="answer"><h2>{number}: {answer_letters(item)}</h2><p>{escape(item.explanation)}</p>'
        f"<ul>{wrong}{pages}</ul></section>\n"
    )


def _paragraphs(texts: Iterable[str]) -> str:
    return "".join(f"<p>{escape(it)}</p>" for it in texts)
