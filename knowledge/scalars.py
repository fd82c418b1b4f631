"""Read a plain scalar the way YAML 1.2 does: `no`, `12:30` and dates stay text, `1.10` is a number."""

from __future__ import annotations

import math
import re

Scalar = str | int | float | bool | None

NULLS = frozenset({"", "~", "null", "Null", "NULL"})
TRUTHS = {"true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False}
WHOLE = re.compile(r"[-+]?[0-9]+")
NUMBER = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")
NUMBER_STARTS = frozenset("-+.0123456789")
LONGEST_NUMBER = 40


def read_scalar(text: str) -> Scalar:
    """Return the value of an unquoted scalar; raise ValueError for a number too long or too large to hold."""
    if text in NULLS:
        return None
    if text[0] in NUMBER_STARTS:
        return _number_or_text(text)
    return TRUTHS.get(text, text)


def _number_or_text(text: str) -> Scalar:
    if not NUMBER.fullmatch(text):
        return text
    if len(text) > LONGEST_NUMBER:
        raise ValueError(f"a number of {len(text)} characters is too long; put it in quotes if it is text")
    if WHOLE.fullmatch(text):
        return int(text)
    value = float(text)
    if math.isinf(value):
        raise ValueError(f"the number {text} is too large")
    return value
