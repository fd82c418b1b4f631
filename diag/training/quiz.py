"""Make a quiz: the same request gives the same questions."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from random import Random

from diag.errors import DiagError, UnknownName
from diag.training.dice import dice_of
from diag.training.draft import Draft, Refused, finish
from diag.training.item import Item, Level, Quiz
from diag.training.kinds.kind import Kind
from diag.training.kinds.register import KINDS
from diag.training.lint import faults_of
from diag.training.workshop import TOPICS, Workshop

MOST_QUESTIONS = 200
CHOICES_IN_ENGLISH = ("interpret-reading", "description-fault")
"""Kinds that ask in words of the knowledge base which are not translated."""

PICKY = 0.75
"""For which share of the attempts a question whose answer was right before in the quiz is put back."""

BY_ENTRY = ("likeliest-cause", "is-fault", "next-check", "description-fault")
"""Kinds whose answers are entries of the knowledge base."""

ROUNDS = 6
"""How many kinds in a row may fail for one place before the quiz is given up as too narrow."""


class UnknownTopic(UnknownName):
    """No question is about this topic."""

    thing = "topic"


class UnknownKind(UnknownName):
    """There is no such kind of question."""

    thing = "kind of question"


class TooNarrow(DiagError):
    """The site and topics asked for do not give so many different questions."""

    def __init__(self, made: int, asked: int) -> None:
        self.made = made
        super().__init__(
            f"Only {made} of {asked} different questions could be made. Ask for fewer, for more topics, or describe "
            "more of the site."
        )


@dataclass(frozen=True)
class QuizRequest:
    """What a quiz is to be like; no topics or kinds means all of them.

    `avoid` holds the likeness of questions asked before, which are not asked again.
    """

    questions: int = 20
    level: Level = 2
    seed: int = 1
    topics: tuple[str, ...] = ()
    kinds: tuple[str, ...] = ()
    avoid: frozenset[str] = frozenset()


def make_quiz(workshop: Workshop, request: QuizRequest) -> Quiz:
    """Return a quiz; raise UnknownTopic, UnknownKind or TooNarrow."""
    _check(request)
    maker = _Maker(workshop, request)
    for number in range(request.questions):
        item = maker.next_item(number)
        if item is None:
            raise TooNarrow(len(maker.items), request.questions)
        maker.items.append(item)
    return Quiz(
        site=workshop.prepared.site.name,
        seed=request.seed,
        level=request.level,
        language=workshop.phrases.language,
        knowledge_version=workshop.knowledge.version,
        items=tuple(balanced(maker.items, Random(f"places/{request.seed}"))),
        topics=request.topics,
    )


def _check(request: QuizRequest) -> None:
    for topic in request.topics:
        if topic not in TOPICS:
            raise UnknownTopic(topic, TOPICS)
    for kind in request.kinds:
        if kind not in KINDS:
            raise UnknownKind(kind, KINDS)


class _Maker:
    """Makes one question after the other, none like one before."""

    def __init__(self, workshop: Workshop, request: QuizRequest) -> None:
        self.items: list[Item] = []
        self._workshop = workshop
        self._request = request
        self._order = _order_of_kinds(request, workshop.phrases.language)
        self._seen: set[str] = set(request.avoid)
        self._tried: Counter[str] = Counter()

    def next_item(self, number: int) -> Item | None:
        """Return the next question; None when none of several kinds comes out."""
        for turn in range(ROUNDS * (1 + len(self._order) // 8)):
            kind = self._order[(number + turn * 7) % len(self._order)]
            for attempt in range(kind.attempts):
                self._tried[kind.id] += 1
                item = self._try(kind, dice_of(self._request.seed, kind.id, self._tried[kind.id]))
                if item is not None and not (attempt < PICKY * kind.attempts and self._is_answered_alike(item)):
                    self._seen.add(item.likeness)
                    return item
        return None

    def _is_answered_alike(self, item: Item) -> bool:
        """Return whether an earlier question of the kind has the same right answer, where answers are entries."""
        return item.kind in BY_ENTRY and any(it.kind == item.kind and it.answer == item.answer for it in self.items)

    def _try(self, kind: Kind, rng: Random) -> Item | None:
        topic = rng.choice(self._request.topics) if self._request.topics else None
        try:
            item = make_item(self._workshop, kind, rng, self._request.level, topic)
        except Refused:
            return None
        return None if item.likeness in self._seen else item


def make_item(workshop: Workshop, kind: Kind, rng: Random, level: Level, topic: str | None = None) -> Item:
    """Return one question of a kind that keeps to every rule; raise Refused."""
    with workshop.phrases.noting() as english:
        made = kind.draft(workshop, rng, level, topic)
        item = finish(made, workshop, level, rng, frozenset(english)) if isinstance(made, Draft) else made
    faults = faults_of(item)
    if faults:
        raise Refused(", ".join(it.rule for it in faults))
    return item


def _order_of_kinds(request: QuizRequest, language: str) -> list[Kind]:
    """Return the kinds in turn, each as often as its share says, mixed by the seed.

    Those whose choices are English alone are left out of quizzes in other languages, unless they are asked for.
    """
    usual = [it for it in KINDS.values() if language == "en" or it.id not in CHOICES_IN_ENGLISH]
    chosen = [KINDS[it] for it in request.kinds] if request.kinds else usual
    order = [kind for kind in chosen for _ in range(kind.share)]
    Random(f"kinds/{request.seed}").shuffle(order)
    return order


def balanced(items: Sequence[Item], rng: Random) -> list[Item]:
    """Return the items with their right answers spread evenly over the places (HDR 20), those with an order apart."""
    used: Counter[tuple[int, int]] = Counter()
    placed: list[Item] = []
    for item in items:
        if item.response == "choice" and not item.is_rising:
            item = _with_key_at(item, _least_used(item, used, rng))
            count = len(item.choices)
            used[count, [it.id for it in item.choices].index(item.answer[0])] += 1
        placed.append(item)
    return placed


def _least_used(item: Item, used: Counter[tuple[int, int]], rng: Random) -> int:
    count = len(item.choices)
    least = min(used[count, place] for place in range(count))
    return rng.choice([place for place in range(count) if used[count, place] == least])


def _with_key_at(item: Item, place: int) -> Item:
    others = list(item.wrong)
    return replace(item, choices=(*others[:place], item.key, *others[place:]))


def proof_faults(workshop: Workshop, item: Item) -> tuple[str, ...]:
    """Return what keeps the answer from being the only right one when it is proved again from its evidence."""
    return tuple(KINDS[item.kind].prove(workshop, item))
