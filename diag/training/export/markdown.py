"""A quiz as Markdown: the questions first, the answers after them."""

from __future__ import annotations

import re
from collections.abc import Iterator

from diag.training.export.answers import answer_letters, labelled
from diag.training.item import Item, Quiz
from diag.training.phrases import load_phrases

SPECIAL = re.compile(r"([\\`*_{}\[\]<>#|~])")


def quiz_markdown(quiz: Quiz) -> str:
    """Return the questions numbered, with their choices by letter, and then the answers with their reasons."""
    words = load_phrases(quiz.language)
    lines = [
        f"# {words['sheet-title'].format(site=_plain(quiz.site))}",
        "",
        words["sheet-about"].format(level=quiz.level, seed=quiz.seed, count=len(quiz.items)),
        "",
    ]
    for number, item in enumerate(quiz.items, 1):
        lines += [*_question(number, item), ""]
    lines += [f"# {words['sheet-answers']}", ""]
    for number, item in enumerate(quiz.items, 1):
        lines += [*_answer(number, item), ""]
    return "\n".join(lines)


def _question(number: int, item: Item) -> Iterator[str]:
    yield f"## {number}"
    for sentence in item.stem:
        yield from ("", _plain(sentence))
    if item.in_english:
        yield from ("", f"*{load_phrases(item.language)['english-only']}*")
    yield from ("", f"**{_plain(item.lead_in)}**", "")
    yield from (f"{place}. {_plain(it)}" for place, it in enumerate(item.prompts, 1))
    if item.prompts:
        yield ""
    yield from (f"- {letter}) {_plain(text)}" for letter, text in labelled(item))


def _answer(number: int, item: Item) -> Iterator[str]:
    yield f"{number}. **{answer_letters(item)}.** {_plain(item.explanation)}"
    yield from (f"    - {item.letters[it.id]}: {_plain(it.why)}" for it in item.wrong)
    yield from (
        f"    - {load_phrases(item.language)['sheet-see'].format(address=it.address)}" for it in item.references
    )


def _plain(text: str) -> str:
    return SPECIAL.sub(r"\\\1", text)
