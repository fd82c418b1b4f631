"""Say whether a text is fit to be parsed, and make its JSON escapes ones that a YAML parser knows."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping

from knowledge.faults import Position

Shifts = Mapping[int, tuple[int, ...]]
"""By line, from 0: the columns at which the parsed text is shorter than the written one."""

Refusal = tuple[int, int, str]

FORBIDDEN = re.compile(
    "[^\t\n\r\x20-\x7e\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]"
)  # what YAML calls not printable, a byte order mark inside the text, and line breaks no editor counts
SURROGATE_PAIR = re.compile(r"(?<!\\)((?:\\\\)*)\\u([dD][89abAB][0-9a-fA-F]{2})\\u([dD][c-fC-F][0-9a-fA-F]{2})")
SHORTENED_BY = 2


def refuse(text: str, max_bytes: int) -> Refusal | None:
    """Return line, column and message of what forbids parsing the text, or None."""
    return _refuse_size(len(text), max_bytes) or _refuse_characters(text) or _refuse_bytes(text, max_bytes)


def too_large(max_bytes: int) -> Refusal:
    """Return the refusal of a file beyond the limit."""
    return 1, 1, f"the file is larger than {max_bytes:,} bytes; split it or take out what is not needed"


def _refuse_size(size: int, max_bytes: int) -> Refusal | None:
    return too_large(max_bytes) if size > max_bytes else None


def _refuse_bytes(text: str, max_bytes: int) -> Refusal | None:
    return None if text.isascii() else _refuse_size(len(text.encode("utf-8")), max_bytes)


def _refuse_characters(text: str) -> Refusal | None:
    bad = FORBIDDEN.search(text, 1 if text.startswith("\ufeff") else 0)
    if not bad:
        return None
    line, column = line_and_column(text, bad.start())
    return line, column, f"the character U+{ord(bad[0]):04X} is not allowed; take it out or retype the text"


def line_and_column(text: str, index: int) -> Position:
    """Return line and column, from 1, of the character at the index."""
    before = text[:index]
    return before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1


def without_surrogate_pairs(text: str) -> tuple[str, Shifts]:
    r"""Return JSON text with each pair such as \ud83d\ude00 as one escape YAML knows, and where it shrank."""
    if "\\ud" not in text.lower() or not _is_json(text):
        return text, {}
    shifts: dict[int, tuple[int, ...]] = {}
    lines = text.split("\n")
    for number, line in enumerate(lines):
        lines[number], columns = _join_pairs(line)
        if columns:
            shifts[number] = columns
    return "\n".join(lines), shifts


def _join_pairs(line: str) -> tuple[str, tuple[int, ...]]:
    columns: list[int] = []

    def join(match: re.Match[str]) -> str:
        columns.append(match.start() - SHORTENED_BY * len(columns))
        high, low = int(match[2], 16) - 0xD800, int(match[3], 16) - 0xDC00
        return f"{match[1]}\\U{0x10000 + (high << 10) + low:08X}"

    return SURROGATE_PAIR.sub(join, line), tuple(columns)


def _is_json(text: str) -> bool:
    try:
        json.loads(text)
    except (ValueError, RecursionError):
        return False
    return True
