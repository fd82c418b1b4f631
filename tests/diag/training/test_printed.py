"""The sheets as PDF: their text, read back, is all there, and the answers keep to pages of their own."""

from __future__ import annotations

import re
from collections.abc import Callable
from io import BytesIO

import pytest

from api.sheet_pdf import NoPrinter, print_with_browser, print_with_weasyprint
from diag.reasoner import PreparedSite, Reasoner
from diag.training.export.answers import answer_letters
from diag.training.export.forms import PDF
from diag.training.item import Quiz
from diag.training.opening import open_workshop
from diag.training.quiz import QuizRequest, make_quiz


def squeezed(text: str) -> str:
    """Return a text without white space, hyphens and ligatures, which printing moves about."""
    for joined, apart in (("\ufb01", "fi"), ("\ufb02", "fl"), ("\ufb00", "ff"), ("\ufb03", "ffi"), ("\ufb04", "ffl")):
        text = text.replace(joined, apart)
    return re.sub(r"[\s\u00ad\u2010-]+", "", text)


def pages_of(printer: Callable[[str], bytes | None], quiz: Quiz) -> list[str]:
    """Return the squeezed text of each page; skip, and say so, where the printer or the reader is not at hand."""
    pypdf = pytest.importorskip("pypdf", reason="pypdf is not installed, so the PDF was not read back")
    try:
        printed = printer(PDF.write(quiz).decode())
    except NoPrinter as refusal:
        pytest.skip(f"not printed: {refusal.reason}")
    if printed is None:
        pytest.skip(f"{printer.__name__} is not at hand, so nothing was printed")
    return [squeezed(page.extract_text()) for page in pypdf.PdfReader(BytesIO(printed)).pages]


@pytest.mark.parametrize("printer", [print_with_weasyprint, print_with_browser])
def test_all_of_a_quiz_is_printed_and_its_answers_stand_on_pages_of_their_own(
    quiz: Quiz, printer: Callable[[str], bytes | None]
) -> None:
    pages = pages_of(printer, quiz)
    begins = next(at for at, page in enumerate(pages) if f"Answers,seed{quiz.seed}" in page)
    asked, answers = "".join(pages[:begins]), "".join(pages[begins:])

    assert 0 < begins < len(pages)
    for item in quiz.items:
        assert all(squeezed(it) in asked for it in (*item.stem[1:], item.lead_in, *item.prompts))
        assert all(squeezed(it.text) in asked for it in item.choices)
        assert squeezed(item.explanation) in answers
        assert squeezed(item.explanation) not in asked
        assert squeezed(answer_letters(item)) in answers


def test_umlauts_are_printed_as_letters(reasoner: Reasoner, small: PreparedSite) -> None:
    german = make_quiz(open_workshop(reasoner, small.site, "de"), QuizRequest(3, seed=4, kinds=("likeliest-cause",)))
    text = "".join(pages_of(print_with_weasyprint, german))

    assert all(squeezed(it.text) in text for item in german.items for it in item.choices)
