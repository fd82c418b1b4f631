"""Keep the memory of a process with many threads together, so that it stays as large as what is in use."""

from __future__ import annotations

import ctypes
from contextlib import suppress

ARENA_MAX = -8
"""The parameter of mallopt for the number of heaps (malloc.h of the GNU C library)."""

HEAPS = 2
"""The library's own choice is eight for each processor, each of which keeps what its threads once needed. Only one
thread at a time runs Python, so that few heaps are hardly waited for."""


def share_heaps() -> None:
    """Let all threads that start later share a few heaps, where the C library can."""
    with suppress(AttributeError, OSError):
        ctypes.CDLL(None).mallopt(ARENA_MAX, HEAPS)
