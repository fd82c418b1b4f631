"""Join each verdict of a clause, works or does not, to what it is said of."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from diag.words.ideas import Mention
from diag.words.roles import Features

SUBJECTS = {
    "auto": frozenset({"automatic-source"}),
    "hand": frozenset({"by-hand", "switch"}),
    "link": frozenset({"link"}),
    "open": frozenset({"opens", "asked-open"}),
    "close": frozenset({"closes", "asked-close"}),
    "mains": frozenset({"on-mains", "mains"}),
    "battery": frozenset({"on-battery", "power-cut", "battery"}),
    "tap": frozenset({"tap"}),
    "hold": frozenset({"hold"}),
    "position": frozenset({"position-signal"}),
}
GOOD = frozenset({"fine", "work", "respond"})
MOVES = frozenset({"opens", "closes", "move", "run"})
BAD = frozenset({"inert", "ignored", "no-open", "no-close", "no-move", "no-stop"})
ACTORS = frozenset({"auto", "hand", "link", "mains", "battery", "tap", "hold"})
OPPOSITE = {"opens": "closes", "closes": "opens"}


def with_verdicts(mentions: Sequence[Mention], features: Features) -> Features:
    """Return the features with `good-auto`, `bad-open`, and `contrary` where one way brings the other."""
    found = [set(ideas) for ideas in features]
    for start, end in clauses(mentions):
        for index, verdict in _verdicts(features, start, end):
            found[index].add(verdict)
        for index in _contrary(mentions, features, start, end):
            found[index].add("contrary")
    return tuple(map(frozenset, found))


def clauses(mentions: Sequence[Mention]) -> Iterator[tuple[int, int]]:
    """Yield where each clause starts and ends, parted by marks and by words such as and or but."""
    start = 0
    for index, mention in enumerate(mentions):
        if not mention.ideas or mention.has("contrast") or mention.has("joining"):
            if index > start:
                yield start, index
            start = index + 1
    if start < len(mentions):
        yield start, len(mentions)


def _verdicts(features: Features, start: int, end: int) -> Iterator[tuple[int, str]]:
    subjects = [(at, name) for at in range(start, end) for name, ideas in SUBJECTS.items() if ideas & features[at]]
    for at in range(start, end):
        is_bad, is_good = bool(BAD & features[at]), bool(GOOD & features[at])
        does_move = bool(MOVES & features[at])
        if not (is_bad or is_good or does_move):
            continue
        for name in _nearest(subjects, at):
            if is_bad:
                yield at, f"bad-{name}"
            elif is_good or (does_move and name in ACTORS):
                yield at, f"good-{name}"


def _nearest(subjects: Sequence[tuple[int, str]], at: int) -> list[str]:
    """Return the subjects of the nearest mention before, or else after."""
    before = [place for place, _ in subjects if place < at]
    after = [place for place, _ in subjects if place > at]
    if not before and not after:
        return []
    place = max(before) if before else min(after)
    return [name for where, name in subjects if where == place]


def _contrary(mentions: Sequence[Mention], features: Features, start: int, end: int) -> Iterator[int]:
    """Yield where a direction is followed at once by the opposite one, as in `up pulls it in`."""
    moving = [(at, way) for at in range(start, end) for way in OPPOSITE if way in features[at]]
    for (first, way), (second, other) in pairwise(moving):
        is_named = not {"opens", "closes"} & set(mentions[first].ideas)
        if OPPOSITE[way] == other and is_named and second - first <= 2:
            yield second
