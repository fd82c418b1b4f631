"""Count the work of a call instead of timing it: the same on a quiet machine and on a busy one."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable
    from types import FrameType


def effort(work: Callable[[], object]) -> int:
    """Return how many functions, Python's and C's, a call enters; what runs inside one C function counts once."""
    entered = 0

    def count(_frame: FrameType, event: str, _argument: object) -> None:
        nonlocal entered
        entered += event in ("call", "c_call")

    before = sys.getprofile()
    sys.setprofile(count)
    try:
        work()
    finally:
        sys.setprofile(before)
    return entered


def growth(work: Callable[[int], object], size: int) -> float:
    """Return how many times the effort grows when the size is quadrupled: about 4 where it grows with the size."""
    return effort(lambda: work(4 * size)) / effort(lambda: work(size))
