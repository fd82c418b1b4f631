"""A table as an answer."""

from __future__ import annotations

from fastapi.responses import PlainTextResponse


class CsvResponse(PlainTextResponse):
    """An answer of comma-separated values, in UTF-8."""

    media_type = "text/csv"
