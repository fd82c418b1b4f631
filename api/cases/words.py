"""The words of a case as they are searched: folded to small letters without marks, and free of control characters."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator

from api.cases.state import CaseState

WORD = re.compile(r"[^\W_]+")
MOST_WORDS = 20_000
MOST_TITLE = 120


def folded(text: str) -> list[str]:
    """Return the words of a text in small letters without accents."""
    plain = unicodedata.normalize("NFKD", text.casefold())
    return WORD.findall("".join(it for it in plain if not unicodedata.combining(it)))


def one_line(text: str, most: int) -> str:
    """Return a text on one line of at most this many characters, without what cannot be printed."""
    printable = text if text.isprintable() else "".join(it if it.isprintable() else " " for it in text)
    line = " ".join(printable.split())
    return line if len(line) <= most else f"{line[: most - 1]}…"


def searched_text(state: CaseState, *more: str) -> str:
    """Return all words of a case, separated by spaces."""
    words = [word for text in (*more, *_texts(state)) for word in folded(text)]
    return " ".join(words[:MOST_WORDS])


def title_of(state: CaseState, symptom_name: str | None) -> str:
    """Return what a case is called in a list: its first words, or its symptom's name."""
    first = state.texts[0]["text"] if state.texts else symptom_name
    return one_line(first or "", MOST_TITLE) or "A case without words yet"


def features_of(state: CaseState) -> frozenset[str]:
    """Return what makes two cases alike: symptoms, circumstances, answers that are outcomes, and the cause found."""
    outcomes = (f"answer {it['check']} {it['outcome']}" for it in state.answers if it["outcome"].islower())
    return frozenset(
        one_line(it, 200)
        for it in (
            *(f"symptom {it['id']}" for it in state.symptoms),
            *(f"told {it}" for it in state.told),
            *outcomes,
        )
    )


def _texts(state: CaseState) -> Iterator[str]:
    yield from (it["text"] for it in (*state.texts, *state.notes))
    for reading in state.readings:
        yield f"{reading['what']} {reading['value']} {reading.get('part', '')}"
    for symptom in state.symptoms:
        yield f"{symptom['id']} {symptom.get('part') or ''}"
    for repair in (*state.repairs, *state.proofs):
        yield f"{repair.get('cause', '')} {repair.get('note', '')} {repair.get('what', '')}"
    if state.confirmed:
        yield f"{state.confirmed['cause']} {state.confirmed.get('part') or ''}"
    if isinstance(state.site, str):
        yield state.site
