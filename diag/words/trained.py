"""Weigh the marks of a text with weights learnt from labelled phrases: a second opinion beside the patterns."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from diag.words.marks import weigh_marks
from diag.words.roles import Features

WEIGHTS = Path(__file__).parent / "trained.npz"
"""Made by `python -m tests.bench.train_words`."""
NOTHING = "out"
"""What stands for no symptom at all."""


@dataclass(frozen=True)
class Trained:
    """What was learnt: a weight for each mark and meaning, in 127ths of that meaning's largest."""

    meanings: tuple[str, ...]
    rarity: NDArray[np.float32]
    weights: NDArray[np.int8]
    """One row a mark, one column a meaning."""
    scale: NDArray[np.float32]
    bias: NDArray[np.float32]
    made_from: str
    """A checksum of the phrases."""


@cache
def load_trained(path: Path = WEIGHTS) -> Trained:
    """Return the weights of the file."""
    with np.load(path, allow_pickle=False) as kept:
        return Trained(
            meanings=tuple(map(str, kept["meanings"])),
            rarity=kept["rarity"].astype(np.float32),
            weights=kept["weights"],
            scale=kept["scale"],
            bias=kept["bias"],
            made_from=str(kept["made_from"]),
        )


def weigh_words(trained: Trained, words: Sequence[str], features: Features = ()) -> Mapping[str, float]:
    """Return the weight of evidence for each meaning, as a logarithm; nothing when there are no words."""
    numbers, weights = weigh_marks(words, trained.rarity, features)
    if not len(numbers):
        return {}
    evidence = (weights @ trained.weights[numbers].astype(np.float32)) * trained.scale + trained.bias
    return dict(zip(trained.meanings, map(float, evidence), strict=True))
