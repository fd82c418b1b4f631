"""Learns from the labelled phrases which words mean which symptom, and writes the weights the product carries."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Sequence
from hashlib import sha256
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize
from scipy.sparse import csr_matrix

from diag.words.cleaning import clean_text, split_words
from diag.words.marks import BUCKETS, count_marks, weigh_marks
from diag.words.trained import NOTHING, WEIGHTS, Trained, load_trained
from tests.bench.word_items import ALL_BUILD, Item, read_items

TRUST = 10.0
"""How much the phrases count against keeping the weights small."""
ROUNDS = 60
LARGEST = 127


def train(items: Sequence[Item]) -> Trained:
    """Return the weights learnt from labelled phrases: a softmax over all symptoms and none."""
    texts = [plain_words(item.text) for item in items]
    meanings = (*sorted({symptom for item in items for symptom in item.symptoms}), NOTHING)
    rarity = _rarity(texts)
    marks = _matrix(texts, rarity)
    used = np.unique(marks.indices)
    learnt, bias = _fit(marks[:, used].tocsr(), _wanted(items, meanings))
    whole = np.zeros((BUCKETS, len(meanings)), np.float32)
    whole[used] = learnt
    scale = np.maximum(np.abs(whole).max(axis=0), 1e-9) / LARGEST
    weights = np.rint(whole / scale).astype(np.int8)
    return Trained(meanings, rarity, weights, scale, bias.astype(np.float32), fingerprint(items))


def fingerprint(items: Iterable[Item]) -> str:
    """Return a checksum of the phrases with what they mean, in their order."""
    lines = "\n".join(f"{'+'.join(item.symptoms)}: {item.text}" for item in items)
    return sha256(lines.encode()).hexdigest()[:16]


def plain_words(text: str) -> list[str]:
    """Return the words of a phrase as they are typed."""
    return [word.text for word in split_words(clean_text(text)[0]) if not word.is_mark]


def _rarity(texts: Sequence[Sequence[str]]) -> NDArray[np.float32]:
    """Return how rare each mark is among the phrases, as a logarithm."""
    met = np.zeros(BUCKETS)
    for words in texts:
        whole, bits = count_marks(words)
        met[list(whole.keys() | bits.keys())] += 1
    rarity = np.log((1 + len(texts)) / (1 + met)) + 1
    return rarity.astype(np.float16).astype(np.float32)


def _matrix(texts: Iterable[Sequence[str]], rarity: NDArray[np.float32]) -> csr_matrix:
    weighed = [weigh_marks(words, rarity) for words in texts]
    ends = np.cumsum([0, *(len(numbers) for numbers, _ in weighed)])
    numbers = np.concatenate([numbers for numbers, _ in weighed])
    weights = np.concatenate([weights for _, weights in weighed]).astype(np.float64)
    return csr_matrix((weights, numbers, ends), shape=(len(weighed), BUCKETS))


def _wanted(items: Sequence[Item], meanings: Sequence[str]) -> NDArray[np.float64]:
    """Return the share of each meaning in each phrase; two symptoms share alike."""
    wanted = np.zeros((len(items), len(meanings)))
    for row, item in enumerate(items):
        for meaning in item.symptoms or (NOTHING,):
            wanted[row, meanings.index(meaning)] += 1 / max(1, len(item.symptoms))
    return wanted


def _fit(marks: csr_matrix, wanted: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return weights and biases of the softmax: least cross-entropy with small weights."""
    count, kinds = marks.shape[1], wanted.shape[1]
    turned = marks.T.tocsr()

    def cost(flat: NDArray[np.float64]) -> tuple[float, NDArray[np.float64]]:
        weights, bias = flat[: count * kinds].reshape(count, kinds), flat[count * kinds :]
        logs = marks @ weights + bias
        logs -= logs.max(axis=1, keepdims=True)
        logs -= np.log(np.exp(logs).sum(axis=1, keepdims=True))
        off = (np.exp(logs) - wanted) * TRUST
        total = 0.5 * float((weights * weights).sum()) - TRUST * float((wanted * logs).sum())
        return total, np.concatenate([(turned @ off + weights).ravel(), off.sum(axis=0)])

    start = np.zeros(count * kinds + kinds)
    found = minimize(cost, start, jac=True, method="L-BFGS-B", options={"maxiter": ROUNDS, "maxcor": 5}).x
    return found[: count * kinds].reshape(count, kinds), found[count * kinds :]


def write(trained: Trained, path: Path) -> None:
    """Write the weights where the product reads them."""
    with path.open("wb") as file:
        np.savez_compressed(
            file,
            meanings=np.array(trained.meanings),
            rarity=trained.rarity.astype(np.float16),
            weights=trained.weights,
            scale=trained.scale,
            bias=trained.bias,
            made_from=trained.made_from,
        )


def main() -> None:
    """Train and write, or train and compare."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--files", default=ALL_BUILD, help="pattern of the labelled files, from the top folder")
    parser.add_argument("--to", type=Path, default=WEIGHTS, help="where the weights go")
    parser.add_argument("--check", action="store_true", help="train again and compare, without writing")
    chosen = parser.parse_args()
    items = read_items(chosen.files)
    found = train(items)
    if chosen.check:
        apart = np.abs(found.weights.astype(int) - load_trained(chosen.to).weights.astype(int))
        print(f"{len(items)} phrases; the largest weight is {LARGEST}, the largest difference {apart.max()}")
        return
    write(found, chosen.to)
    print(f"{len(items)} phrases, {chosen.to.stat().st_size / 1e6:.1f} MB")


if __name__ == "__main__":
    main()
