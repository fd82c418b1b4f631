"""Finish a question: choose among its wrong answers those with which it keeps to the rules of item writing."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations, islice
from random import Random

from diag.training.item import Choice, Item, Level, Reference, Value
from diag.training.lint import faults_of
from diag.training.workshop import Workshop

WRONG_ANSWERS: Mapping[Level, int] = {1: 2, 2: 3, 3: 3}
"""Three options serve as well as more (Rodriguez 2005); a fourth is added where four are plausible."""

FEWEST_WRONG = 2
MOST_TRIES = 60


class Refused(Exception):
    """No sound question came out; the text says why."""


@dataclass(frozen=True)
class Draft:
    """A question with its right answer and every wrong one that was proved wrong, the most tempting first."""

    kind: str
    topic: str
    stem: tuple[str, ...]
    lead_in: str
    key: Choice
    wrong: tuple[Choice, ...]
    explanation: str
    references: tuple[Reference, ...]
    evidence: Mapping[str, Value]
    rising: Mapping[str, float] = field(default_factory=dict)
    """For choices that have an order of their own: the number of each by its id."""

    fits: Callable[[Sequence[Choice]], bool] | None = None
    """Says of wrong answers whether they may stand together; all may without it."""


def finish(draft: Draft, workshop: Workshop, level: Level, rng: Random, english: frozenset[str]) -> Item:
    """Return the item with the most tempting wrong answers that keep to the rules; raise Refused without such.

    Among these the right answer is, by chance, the least, the greatest or one between, in its number or its length:
    guessing the middle or the longest gains nothing.
    """
    faults: tuple[str, ...] = ("too few wrong answers could be proved wrong",)
    sound: list[Item] = []
    wanted = rng.randrange(WRONG_ANSWERS[level] + 1)
    for wrong in _choosing(draft, WRONG_ANSWERS[level]):
        item = _item(draft, workshop, level, _placed(draft, wrong, rng), english)
        faults = tuple(it.rule for it in faults_of(item)) or ()
        if not faults and _rank(draft, item) == min(wanted, len(wrong)):
            return item
        sound += [] if faults else [item]
    if not sound:
        raise Refused(", ".join(faults))
    return sound[0]


def _rank(draft: Draft, item: Item) -> int:
    """Return how many wrong answers are less than the right one, in their number or else in their length."""
    if draft.rising:
        return sum(draft.rising[it.id] < draft.rising[item.key.id] for it in item.wrong)
    return sum(len(it.text) < len(item.key.text) for it in item.wrong)


def _choosing(draft: Draft, count: int) -> Iterator[tuple[Choice, ...]]:
    """Yield sets of wrong answers, the most tempting first; smaller sets when no larger one will do."""
    for size in range(min(count, len(draft.wrong)), FEWEST_WRONG - 1, -1):
        sets = combinations(draft.wrong, size)
        fitting = (it for it in sets if draft.fits is None or draft.fits(it))
        yield from islice(fitting, MOST_TRIES)


def _placed(draft: Draft, wrong: Sequence[Choice], rng: Random) -> tuple[Choice, ...]:
    choices = [draft.key, *wrong]
    if draft.rising:
        return tuple(sorted(choices, key=lambda it: draft.rising[it.id]))
    rng.shuffle(choices)
    return tuple(choices)


def _item(draft: Draft, workshop: Workshop, level: Level, choices: tuple[Choice, ...], english: frozenset[str]) -> Item:
    return Item(
        kind=draft.kind,
        level=level,
        topic=draft.topic,
        site=workshop.prepared.site.name,
        language=workshop.phrases.language,
        stem=draft.stem,
        lead_in=draft.lead_in,
        choices=choices,
        answer=(draft.key.id,),
        explanation=draft.explanation,
        references=draft.references,
        evidence=draft.evidence,
        is_rising=bool(draft.rising),
        in_english=tuple(sorted(english)),
    )
