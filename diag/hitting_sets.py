"""Minimal sets that meet every one of some sets: minimal diagnoses from conflicts (Reiter, 1987)."""

from __future__ import annotations

from collections.abc import Collection, Iterable


def minimal_hitting_sets(conflicts: Iterable[Collection[str]], most: int | None = None) -> list[frozenset[str]]:
    """Return all minimal sets with at least one member of each conflict, small ones first, then by name.

    With `most`, only sets of at most so many members. Of no conflicts at all, the empty set is the only one.
    """
    found: set[frozenset[str]] = {frozenset()}
    for conflict in sorted({frozenset(it) for it in conflicts}, key=lambda it: (len(it), sorted(it))):
        met = {it for it in found if it & conflict}
        grown = {it | {member} for it in found - met for member in conflict}
        found = met | {it for it in grown if (most is None or len(it) <= most) and not any(one < it for one in met)}
    smallest = [it for it in found if not any(one < it for one in found)]
    return sorted(smallest, key=lambda it: (len(it), sorted(it)))
