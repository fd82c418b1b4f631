"""Turn the edges of a contact into presses, and presses into taps and holds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from diag.calculators.arguments import require_not_negative, require_positive

PressKind = Literal["bounce", "tap", "hold", "stuck"]


@dataclass(frozen=True, slots=True)
class Press:
    """One press by its start and length in seconds; the length is None while it still lasts."""

    start_s: float
    length_s: float | None


def press_kind(length_s: float, hold_s: float = 0.5, debounce_s: float = 0.03, stuck_s: float = 60.0) -> PressKind:
    """Return what a closed contact of this length means to an input.

    Too short to count, a tap (step or stop), a hold (run), or a contact that does not open again. Contacts
    bounce up to 6.2 ms (measured over many switches, "The secret life of switches"); filters of 20 to 50 ms, a hold
    from 0.3 to 2 s and a warning after 30 to 60 s are common practice, no source.
    """
    require_not_negative("length_s", length_s)
    if not 0 <= debounce_s < hold_s < stuck_s:
        raise ValueError(f"debounce_s, hold_s, stuck_s are {debounce_s:g}, {hold_s:g}, {stuck_s:g}; expected rising")
    if length_s < debounce_s:
        return "bounce"
    if length_s < hold_s:
        return "tap"
    return "hold" if length_s < stuck_s else "stuck"


def presses(edges: Sequence[tuple[float, bool]], debounce_s: float = 0.03) -> tuple[Press, ...]:
    """Return the presses in a row of (seconds, is closed) edges, with bounces left out.

    A state counts once it has lasted the debounce time, from the moment it began. Raises ValueError for edges
    out of order.
    """
    require_not_negative("debounce_s", debounce_s)
    found: list[Press] = []
    start: float | None = None
    for at_s, is_closed in steady_edges(edges, debounce_s):
        if is_closed and start is None:
            start = at_s
        elif not is_closed and start is not None:
            found.append(Press(start, at_s - start))
            start = None
    return (*found, Press(start, None)) if start is not None else tuple(found)


def steady_edges(edges: Sequence[tuple[float, bool]], debounce_s: float) -> list[tuple[float, bool]]:
    """Return the edges whose new state lasts at least the debounce time; the last one always does."""
    for (before_s, _), (after_s, _) in pairwise(edges):
        if after_s < before_s:
            raise ValueError(f"edges go back from {before_s:g} s to {after_s:g} s; expected them in order of time")
    ends = [at_s for at_s, _ in edges[1:]]
    return [edge for edge, end_s in zip(edges, [*ends, float("inf")], strict=False) if end_s - edge[0] >= debounce_s]


def hold_reached_after_s(start_s: float, hold_s: float = 0.5) -> float:
    """Return the moment at which a press that goes on becomes a hold."""
    return require_not_negative("start_s", start_s) + require_positive("hold_s", hold_s)
