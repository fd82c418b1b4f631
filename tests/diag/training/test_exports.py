"""Exports of a quiz: nothing lost, no formula in a cell, the same bytes each time."""

from __future__ import annotations

import csv
import json
from io import BytesIO, StringIO
from zipfile import ZipFile

import pytest

from diag.training.export.answers import answer_letters
from diag.training.export.csv_table import COLUMNS, guarded, quiz_csv
from diag.training.export.forms import FORMS
from diag.training.export.html import quiz_page
from diag.training.export.markdown import quiz_markdown
from diag.training.export.plain_data import UnreadableQuiz, quiz_from_json, quiz_json
from diag.training.item import Quiz
from tests.diag.training.builders import in_order, pairs, question

ODD = Quiz("<Hall> & co", 1, 1, "en", "1", (question("=1+1", "@home", "-12 V <b>", stem="A *bold* stem"),))


def test_json_comes_back_as_the_same_quiz(quiz: Quiz) -> None:
    assert quiz_from_json(quiz_json(quiz)) == quiz


def test_json_carries_ids_and_addresses_of_pages(quiz: Quiz) -> None:
    data = json.loads(quiz_json(quiz))

    assert [it["id"] for it in data["items"]] == [it.id for it in quiz.items]
    assert all(it["address"].startswith("/reference/") for item in data["items"] for it in item["references"])


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"items": [1]}', "null"])
def test_what_is_no_quiz_is_refused_in_words(text: str) -> None:
    with pytest.raises(UnreadableQuiz, match="no quiz that can be read"):
        quiz_from_json(text)


def test_each_question_is_a_line_with_its_letters(quiz: Quiz) -> None:
    rows = list(csv.DictReader(StringIO(quiz_csv(quiz))))

    assert [it["id"] for it in rows] == [it.id for it in quiz.items]
    assert [it["answer"] for it in rows] == [answer_letters(it) for it in quiz.items]
    assert tuple(rows[0]) == COLUMNS


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "\n"])
def test_no_cell_begins_as_a_formula(start: str) -> None:
    assert guarded(f"{start}SUM(A1)") == f"'{start}SUM(A1)"


def test_formulas_in_a_quiz_are_guarded() -> None:
    row = next(csv.DictReader(StringIO(quiz_csv(ODD))))

    assert (row["A"], row["B"], row["C"]) == ("'=1+1", "'@home", "'-12 V <b>")


def test_markdown_gives_questions_before_answers_and_keeps_signs_as_text() -> None:
    text = quiz_markdown(ODD)

    assert text.index("What is the cause?") < text.index("# Answers")
    assert r"A \*bold\* stem" in text


def test_the_page_shows_signs_as_text_and_puts_answers_on_pages_of_their_own() -> None:
    page = quiz_page(ODD)

    assert "&lt;Hall&gt; &amp; co" in page
    assert "<b>" not in page
    assert page.index('class="question"') < page.index('class="answers"')
    assert "break-before: page" in page


def test_the_page_needs_nothing_from_outside(quiz: Quiz) -> None:
    page = quiz_page(quiz)

    assert "http" not in page
    assert "<script" not in page


def test_answers_of_orders_and_pairs_are_told_in_letters() -> None:
    assert answer_letters(in_order("One", "Two", "Three", right=(2, 0, 1))) == "C A B"
    assert answer_letters(pairs(("P", "Q"), ("One", "Two", "Three"), (2, 0))) == "1 C, 2 A"


@pytest.mark.parametrize("form", FORMS)
def test_the_same_quiz_gives_the_same_bytes(quiz: Quiz, form: str) -> None:
    assert FORMS[form].write(quiz) == FORMS[form].write(quiz)


@pytest.mark.parametrize("form", ["qti", "qti3"])
def test_a_package_holds_its_manifest_a_test_and_each_question_once(quiz: Quiz, form: str) -> None:
    names = ZipFile(BytesIO(FORMS[form].write(quiz))).namelist()

    assert names == ["imsmanifest.xml", "test.xml", *(f"items/{it.id}.xml" for it in quiz.items)]
