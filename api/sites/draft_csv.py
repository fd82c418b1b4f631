"""Make a draft from a table: a line for each part, with the columns `kind`, `id` and the fields of parts."""

from __future__ import annotations

import csv
import re
from io import StringIO
from typing import Any

from api.sites.draft import BadDraft, Draft, collections, fields_of, part_id

NUMBER = re.compile(r"-?\d+([.,]\d+)?")
REQUIRED = ("kind",)


def draft_from_csv(text: str, name: str) -> Draft:
    """Return a draft with every line as a part; columns that its kind has no field for become remarks.

    Raises BadDraft when there is no column `kind` or no part in it.
    """
    reader = csv.DictReader(StringIO(text), delimiter=_delimiter(text), strict=True)
    draft, kinds = Draft(name), collections()
    try:
        for row in reader:
            _add(draft, kinds, reader.line_num, {_column(it): (row[it] or "").strip() for it in row if it})
    except csv.Error as error:
        raise BadDraft(f"Line {reader.line_num} of the table cannot be read: {error}.") from None
    if not draft.parts:
        raise BadDraft(f"The table has no parts. It needs a column “kind” with one of: {', '.join(sorted(kinds))}.")
    return draft


def _add(draft: Draft, kinds: dict[str, str], line: int, row: dict[str, str]) -> None:
    kind = row.pop("kind", "").lower().replace(" ", "-").removesuffix("s")
    if kind not in kinds:
        draft.remarks.append(f"Line {line}: no part is of the kind “{kind[:40]}”; it was left out.")
        return
    wanted = row.pop("id", "") or row.get("name", "") or kind
    known = fields_of(kinds[kind])
    fields = {it: _value(value) for it, value in row.items() if value and it in known}
    for column in sorted(it for it, value in row.items() if value and it not in known):
        draft.remarks.append(f"Line {line}: a {kind} has no field “{column[:40]}”; its value was left out.")
    given = draft.add(kinds[kind], wanted, fields)
    if given != part_id(wanted) or given != wanted:
        draft.remarks.append(f"Line {line}: “{wanted[:40]}” became {given}.")


def _value(text: str) -> Any:
    if NUMBER.fullmatch(text):
        number = float(text.replace(",", "."))
        return int(number) if number.is_integer() else number
    if text.lower() in ("yes", "true", "no", "false"):
        return text.lower() in ("yes", "true")
    return [it.strip() for it in text.split(";")] if ";" in text else text


def _column(heading: str) -> str:
    return heading.strip().lower().replace(" ", "_").lstrip("\ufeff")


def _delimiter(text: str) -> str:
    heading = text.partition("\n")[0]
    return max(",;\t", key=heading.count)
