"""Turn a text into marks: words, neighbours, bits of words and ideas, each with a number and how much it tells."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from diag.words.roles import Features

BUCKETS = 1 << 16
"""Marks are numbered by a checksum, so that no list of them is kept; few of them share a number."""
IDEA_BUCKETS = 1 << 15
"""Ideas are numbered behind the words."""
ALL_BUCKETS = BUCKETS + IDEA_BUCKETS
SHORTEST_BIT, LONGEST_BIT = 2, 5
GROUP_WEIGHTS = (1.5, 1.0, 1.5)
"""What whole words, bits of words and ideas weigh together. Chosen on phrases kept out of training."""

Counts = Counter[int]


def count_marks(words: Sequence[str], features: Features = ()) -> tuple[Counts, Counts, Counts]:
    """Return how often each mark occurs: of whole words and neighbours, of bits of words, of ideas and neighbours."""
    return (
        Counter(map(_number, _whole(words))),
        Counter(map(_number, _bits(words))),
        Counter(BUCKETS + crc32(mark.encode()) % IDEA_BUCKETS for mark in _ideas(features)),
    )


def weigh_marks(
    words: Sequence[str], rarity: NDArray[np.float32], features: Features = ()
) -> tuple[NDArray[np.int64], NDArray[np.float32]]:
    """Return the numbers of the marks and their weights; each group weighs the same in every text, rare marks more."""
    groups = zip(count_marks(words, features), GROUP_WEIGHTS, strict=True)
    weighed = [_weighed(counts, rarity, group) for counts, group in groups if counts]
    if not weighed:
        return np.zeros(0, np.int64), np.zeros(0, np.float32)
    numbers, weights = zip(*weighed, strict=True)
    return np.concatenate(numbers), np.concatenate(weights)


def _weighed(
    counts: Counts, rarity: NDArray[np.float32], group: float
) -> tuple[NDArray[np.int64], NDArray[np.float32]]:
    numbers = np.fromiter(counts, np.int64, len(counts))
    often = np.fromiter((1 + math.log(count) for count in counts.values()), np.float32, len(counts))
    weights = often * rarity[numbers]
    return numbers, weights * np.float32(group / math.sqrt(float(weights @ weights)))


def _ideas(features: Features) -> Iterator[str]:
    """Yield every idea once, and each pair of ideas of mentions that follow each other."""
    yield from sorted(frozenset().union(*features))
    for ideas, following in pairwise(filter(None, features)):
        yield from (f"{idea} {other}" for idea in sorted(ideas) for other in sorted(following))


def _whole(words: Sequence[str]) -> Iterator[str]:
    yield from (f"w{word}" for word in words)
    yield from (f"b{one} {other}" for one, other in pairwise(words))


def _bits(words: Iterable[str]) -> Iterator[str]:
    for word in words:
        padded = f" {word} "
        for length in range(SHORTEST_BIT, min(LONGEST_BIT, len(padded)) + 1):
            for start in range(len(padded) - length + 1):
                yield f"c{padded[start : start + length]}"


def _number(mark: str) -> int:
    return crc32(mark.encode()) % BUCKETS
