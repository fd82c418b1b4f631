"""Name a source as learners are told it."""

from __future__ import annotations


def shown_source(source: str) -> str:
    """Return a source without the remarks that are for those who check the entries."""
    return source.replace(", from memory", "").replace(", no source", "")
