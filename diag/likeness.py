"""Put texts that say much the same together."""

from __future__ import annotations

from collections.abc import Iterable

from rapidfuzz.fuzz import token_sort_ratio
from rapidfuzz.utils import default_process

ALIKE = 80.0
"""Texts with at least this likeness, of 100, belong together; judgement."""


def alike_groups(texts: Iterable[str]) -> list[list[str]]:
    """Return the texts in groups of like ones, the largest first; a group is led by its first text."""
    groups: list[list[str]] = []
    for text in texts:
        home = next((it for it in groups if _likeness(it[0], text) >= ALIKE), None)
        if home is None:
            groups.append([text])
        else:
            home.append(text)
    return sorted(groups, key=lambda it: -len(it))


def _likeness(one: str, other: str) -> float:
    return 100.0 if one == other else token_sort_ratio(one, other, processor=default_process)
