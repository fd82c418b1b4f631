"""Find entries of the knowledge base by words of their names and texts."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from knowledge.load import Knowledge

WORD = re.compile(r"[^\W_]+")
MOST_FOUND = 60
MOST_CHARACTERS = 200

PLURALS = {"Symptom": "symptoms", "Cause": "causes", "Check": "checks", "Caution": "cautions"}


@dataclass(frozen=True, slots=True)
class Listed:
    """An entry in a list: its kind, its id, its name, the family it belongs to, and one sentence on it."""

    kind: str
    id: str
    name: str
    family: str
    says: str

    @property
    def address(self) -> str:
        """Return where its page is, below the address of the reference."""
        return f"{PLURALS[self.kind]}/{self.id}"


def all_entries(knowledge: Knowledge) -> list[Listed]:
    """Return all entries that have a page, by kind, family and name."""
    return sorted(_listed(knowledge), key=lambda it: (list(PLURALS).index(it.kind), it.family, it.name.lower(), it.id))


def search(knowledge: Knowledge, text: str) -> list[Listed]:
    """Return the entries that hold every word of the text: named so first, then those with most words in the name."""
    words = [it.lower() for it in WORD.findall(text[:MOST_CHARACTERS])]
    if not words:
        return []
    found = [(entry, _score(entry, words)) for entry, hay in _haystacks(knowledge) if all(it in hay for it in words)]
    return [it for it, _ in sorted(found, key=_best_first)][:MOST_FOUND]


def _best_first(pair: tuple[Listed, tuple[bool, int]]) -> tuple[bool, int, str, str]:
    entry, (whole, count) = pair
    return not whole, -count, entry.kind, entry.name


def _score(entry: Listed, words: Sequence[str]) -> tuple[bool, int]:
    named = [it.lower() for it in WORD.findall(f"{entry.name} {entry.id}")]
    whole = " ".join(words) in " ".join(named)
    return whole, sum(it in named for it in words)


def _haystacks(knowledge: Knowledge) -> Iterator[tuple[Listed, str]]:
    for it in all_entries(knowledge):
        more = " ".join(knowledge.symptoms[it.id].phrases) if it.kind == "Symptom" else ""
        yield it, f"{it.id.replace('-', ' ')} {it.name} {it.family} {it.says} {more}".lower()


def _listed(knowledge: Knowledge) -> Iterator[Listed]:
    yield from (Listed("Symptom", it.id, it.name, it.family, it.means) for it in knowledge.symptoms.values())
    yield from (Listed("Cause", it.id, it.name, it.family, it.means) for it in knowledge.causes.values())
    yield from (Listed("Check", it.id, it.name, it.kind, it.question) for it in knowledge.checks.values())
    yield from (Listed("Caution", it.id, it.name, "cautions", it.text) for it in knowledge.cautions.values())
