"""A fault of a file: where it is, what was found and what to do about it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches

Path = tuple[str | int, ...]
Position = tuple[int, int]

FAULT_LIMIT = 200
"""More faults than this in one file are counted, not listed."""

LISTED_CHOICES = 24
SHOWN_CHARACTERS = 60


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault; lines and columns count from 1, the path leads there through keys and list positions."""

    source: str
    line: int
    column: int
    path: Path
    message: str
    found: str = ""
    allowed: tuple[str, ...] = ()
    nearest: tuple[str, ...] = ()

    @property
    def where(self) -> str:
        """Return the field path with dots, such as `drives.d1.output`."""
        return ".".join(str(step) for step in self.path)

    def __str__(self) -> str:
        field = f"{self.where}: " if self.path else ""
        return f"{self.source}:{self.line}:{self.column}: {field}{self.message}"


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with plain data, before its line is known.

    `at_key` says the name is meant rather than the value, `is_absence` that something was not found.
    """

    path: Path
    message: str
    found: str = ""
    allowed: tuple[str, ...] = ()
    nearest: tuple[str, ...] = ()
    at_key: bool = False
    is_absence: bool = False


def by_position(fault: Fault) -> tuple[int, int, str, str]:
    """Return the key that lists faults from the top of the file down."""
    return fault.line, fault.column, fault.where, fault.message


def listed(faults: Iterable[Fault]) -> tuple[Fault, ...]:
    """Return distinct faults from the top of the file down; beyond the limit, one that counts the rest."""
    ordered = sorted(set(faults), key=by_position)
    if len(ordered) <= FAULT_LIMIT:
        return tuple(ordered)
    last = ordered[FAULT_LIMIT - 1]
    rest = len(ordered) - FAULT_LIMIT
    more = Fault(last.source, last.line, last.column, (), f"and at least {rest} more faults; mend the ones above first")
    return (*ordered[:FAULT_LIMIT], more)


def nearest(word: str, choices: Iterable[str], count: int = 3) -> tuple[str, ...]:
    """Return the choices most like the word, best first; none when nothing is alike."""
    by_lower = {choice.lower().replace("_", "-"): choice for choice in choices}
    typed = word[:SHOWN_CHARACTERS].lower().strip().replace("_", "-").replace(" ", "-")
    return tuple(by_lower[match] for match in get_close_matches(typed, by_lower, n=count, cutoff=0.6))


def quoted(value: object) -> str:
    """Return a found value as a reader would recognise it, cut when long."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return f"a mapping of {len(value)} fields"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    text = str(value) if len(str(value)) <= SHOWN_CHARACTERS else f"{str(value)[:SHOWN_CHARACTERS]}..."
    return f'"{text}"' if isinstance(value, str) else text


def choice_words(choices: Sequence[str]) -> str:
    """Return choices joined by commas; a long list is cut and counted."""
    if len(choices) <= LISTED_CHOICES:
        return ", ".join(choices)
    return f"{', '.join(choices[:LISTED_CHOICES])} and {len(choices) - LISTED_CHOICES} more"


def suggestion(names: Sequence[str]) -> str:
    """Return `. Did you mean ...?`, or nothing when no name is near."""
    return f". Did you mean {' or '.join(names)}?" if names else ""


def advice(word: str, choices: Iterable[str], where: str) -> str:
    """Return `. Did you mean ...?`; where no choice is near, the choices, or where a long list of them stands."""
    known = list(choices)
    if near := suggestion(nearest(word, known)):
        return near
    return f". Choose from: {', '.join(known)}." if len(known) <= LISTED_CHOICES else f". {where}"
