"""Every form a quiz can be exported in as text or bytes; PDF is printed from the page."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from diag.training.export.csv_table import quiz_csv
from diag.training.export.html import quiz_page
from diag.training.export.markdown import quiz_markdown
from diag.training.export.package import quiz_package
from diag.training.export.plain_data import quiz_json
from diag.training.item import Quiz


@dataclass(frozen=True, slots=True)
class Form:
    """A form: how it is written, its media type, and the ending of its file."""

    write: Callable[[Quiz], bytes]
    media_type: str
    ending: str


FORMS: Mapping[str, Form] = {
    "qti": Form(lambda quiz: quiz_package(quiz, "qti"), "application/zip", "zip"),
    "qti3": Form(lambda quiz: quiz_package(quiz, "qti3"), "application/zip", "zip"),
    "csv": Form(lambda quiz: quiz_csv(quiz).encode("utf-8-sig"), "text/csv", "csv"),
    "json": Form(lambda quiz: quiz_json(quiz).encode(), "application/json", "json"),
    "markdown": Form(lambda quiz: quiz_markdown(quiz).encode(), "text/markdown", "md"),
    "html": Form(lambda quiz: quiz_page(quiz).encode(), "text/html", "html"),
}
PDF = Form(lambda quiz: quiz_page(quiz).encode(), "application/pdf", "pdf")
"""The page a PDF is printed from."""
