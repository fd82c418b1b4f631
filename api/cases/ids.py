"""Ids that sort by when they were made and that nobody can guess."""

from __future__ import annotations

import secrets
import time

LETTERS = "0123456789abcdefghjkmnpqrstvwxyz"
FORM = r"^[0-9a-hjkmnp-tv-z]{26}$"
RANDOM_BITS = 80


def new_id() -> str:
    """Return 26 letters: the time in milliseconds, then 80 random bits."""
    number = (time.time_ns() // 1_000_000 << RANDOM_BITS) | secrets.randbits(RANDOM_BITS)
    return "".join(LETTERS[number >> shift & 31] for shift in range(125, -1, -5))
