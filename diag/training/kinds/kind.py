"""What a kind of question is: how one is drafted, and how its answer is proved again."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from random import Random

from diag.training.draft import Draft
from diag.training.item import Item, Level
from diag.training.workshop import Workshop

MakeDraft = Callable[[Workshop, Random, Level, str | None], Draft | Item]
Prove = Callable[[Workshop, Item], Iterator[str]]


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of question. `share` says how many of twenty questions are of it, about."""

    id: str
    says: str
    draft: MakeDraft
    prove: Prove
    share: int = 2
    attempts: int = 12
    """How often it is tried for one place in a quiz before another kind takes that."""
