"""One reading to ask for: what is described, the right value, and the values that mistakes lead to."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from random import Random

from diag.training.item import Value
from diag.training.workshop import Workshop


@dataclass(frozen=True, slots=True)
class Guess:
    """A value that a mistake leads to, and the mistake in words."""

    value: float
    mistake: str


@dataclass(frozen=True, slots=True)
class Figure:
    """A reading: `says` describes the set-up, `right` is the value, `because` how it comes about.

    Values are in `unit` and shown with so many decimals. A guess counts as wrong only when it is away from the
    right value by more than `apart`.
    """

    part: str
    says: str
    unit: str
    decimals: int
    right: float
    apart: float
    because: str
    guesses: tuple[Guess, ...]

    def text(self, value: float) -> str:
        """Return a value as it is shown."""
        return f"{value:.{self.decimals}f} {self.unit}".replace("-0 ", "0 ")

    def wrong(self) -> tuple[Guess, ...]:
        """Return the guesses that are clearly away from the right value and from each other."""
        kept: list[Guess] = []
        for it in self.guesses:
            if all(abs(it.value - other) > self.apart for other in (self.right, *(one.value for one in kept))):
                kept.append(it)
        return tuple(kept)


Setting = tuple[str | float, ...]
"""What a reading is asked for: part ids and numbers."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A kind of reading: which settings a site has for it, and the figure of one."""

    name: str
    settings: Callable[[Workshop, Random], list[Setting]]
    figure: Callable[[Workshop, Setting], Figure]


def keep_setting(setting: Setting) -> Value:
    """Return a setting as one entry of an evidence."""
    return tuple(str(it) for it in setting)
