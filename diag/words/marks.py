"""Turn words into marks: whole words, neighbours and bits of words, each with a number and how much it tells."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

BUCKETS = 1 << 16
"""Marks are numbered by a checksum, so that no list of them is kept; few of them share a number."""
SHORTEST_BIT, LONGEST_BIT = 2, 5

Counts = Counter[int]


def count_marks(words: Sequence[str]) -> tuple[Counts, Counts]:
    """Return how often each mark occurs: of whole words and neighbours, and of bits of words."""
    return Counter(map(_number, _whole(words))), Counter(map(_number, _bits(words)))


def weigh_marks(words: Sequence[str], rarity: NDArray[np.float32]) -> tuple[NDArray[np.int64], NDArray[np.float32]]:
    """Return the numbers of the marks and their weights; both groups weigh 1 together, rare marks more in each."""
    weighed = [_weighed(counts, rarity) for counts in count_marks(words) if counts]
    if not weighed:
        return np.zeros(0, np.int64), np.zeros(0, np.float32)
    numbers, weights = zip(*weighed, strict=True)
    return np.concatenate(numbers), np.concatenate(weights)


def _weighed(counts: Counts, rarity: NDArray[np.float32]) -> tuple[NDArray[np.int64], NDArray[np.float32]]:
    numbers = np.fromiter(counts, np.int64, len(counts))
    often = np.fromiter((1 + math.log(count) for count in counts.values()), np.float32, len(counts))
    weights = often * rarity[numbers]
    return numbers, weights / np.float32(math.sqrt(float(weights @ weights)))


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
