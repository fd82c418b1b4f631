"""Learns from the labelled phrases which words mean which symptom, and writes the weights the product carries."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize
from scipy.sparse import csr_matrix

from diag.intake import Intake
from diag.words.cleaning import clean_text, split_words
from diag.words.marks import ALL_BUCKETS, BUCKETS, count_marks, weigh_marks
from diag.words.reading import read_words
from diag.words.roles import Features
from diag.words.site_names import SiteNames, build_site_names
from diag.words.trained import NOTHING, WEIGHTS, Trained, load_trained
from tests.bench.word_items import ALL_BUILD, Item, load_intake, load_sites, read_items

TRUST = 30.0
"""How much the phrases count against keeping the weights small."""
IDEAS_TRUST = 10.0
IDEAS_SHARE = 0.35
"""How much the opinion learnt from ideas adds to the one learnt from words; both are learnt apart."""
ROUNDS = 60
LARGEST = 127
Matrix = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Told:
    """A phrase as training sees it: its words as typed, and what each mention means."""

    words: Sequence[str]
    features: Features


def train(items: Sequence[Item]) -> Trained:
    """Return the weights learnt from labelled phrases: a softmax over all symptoms and none."""
    told = read_told(items)
    meanings = (*sorted({symptom for item in items for symptom in item.symptoms}), NOTHING)
    rarity = _rarity(told)
    marks = _matrix(told, rarity)
    wanted, counts = _wanted(items, meanings), np.array([item.weight for item in items])
    by_words, bias = _learn(marks, range(BUCKETS), wanted, counts, TRUST)
    by_ideas, more = _learn(marks, range(BUCKETS, ALL_BUCKETS), wanted, counts, IDEAS_TRUST)
    whole = (by_words + IDEAS_SHARE * by_ideas).astype(np.float32)
    scale = np.maximum(np.abs(whole).max(axis=0), 1e-9) / LARGEST
    weights = np.rint(whole / scale).astype(np.int8)
    return Trained(meanings, rarity, weights, scale, (bias + IDEAS_SHARE * more).astype(np.float32), fingerprint(items))


def fingerprint(items: Iterable[Item]) -> str:
    """Return a checksum of the phrases with what they mean, in their order."""
    lines = "\n".join(f"{'+'.join(item.symptoms)}: {item.text}" for item in items)
    return sha256(lines.encode()).hexdigest()[:16]


def read_told(items: Iterable[Item]) -> list[Told]:
    """Return the phrases as training sees them."""
    intake, sites = load_intake(), load_sites()
    names = {name: build_site_names(topology) for name, topology in sites.items()}
    return [_told(item, intake, names.get(item.site or "")) for item in items]


def _told(item: Item, intake: Intake, names: SiteNames | None) -> Told:
    text = clean_text(item.text)[0]
    words = [word.text for word in split_words(text) if not word.is_mark]
    return Told(words, read_words(text, intake.vocabulary, intake.concepts, names).features)


def _rarity(told: Sequence[Told]) -> NDArray[np.float32]:
    """Return how rare each mark is among the phrases, as a logarithm."""
    met = np.zeros(ALL_BUCKETS)
    for it in told:
        for counts in count_marks(it.words, it.features):
            met[list(counts)] += 1
    rarity = np.log((1 + len(told)) / (1 + met)) + 1
    return rarity.astype(np.float16).astype(np.float32)


def _matrix(told: Iterable[Told], rarity: NDArray[np.float32]) -> csr_matrix:
    weighed = [weigh_marks(it.words, rarity, it.features) for it in told]
    ends = np.cumsum([0, *(len(numbers) for numbers, _ in weighed)])
    numbers = np.concatenate([numbers for numbers, _ in weighed])
    weights = np.concatenate([weights for _, weights in weighed]).astype(np.float64)
    return csr_matrix((weights, numbers, ends), shape=(len(weighed), ALL_BUCKETS))


def _wanted(items: Sequence[Item], meanings: Sequence[str]) -> Matrix:
    """Return the share of each meaning in each phrase; two symptoms share alike."""
    wanted = np.zeros((len(items), len(meanings)))
    for row, item in enumerate(items):
        for meaning in item.symptoms or (NOTHING,):
            wanted[row, meanings.index(meaning)] += 1 / max(1, len(item.symptoms))
    return wanted


def _learn(marks: csr_matrix, group: range, wanted: Matrix, counts: Matrix, trust: float) -> tuple[Matrix, Matrix]:
    """Return the weights of all marks, learnt from those of one group only, and the biases."""
    used = np.unique(marks.indices)
    used = used[(used >= group.start) & (used < group.stop)]
    whole = np.zeros((ALL_BUCKETS, wanted.shape[1]))
    whole[used], bias = _fit(marks[:, used].tocsr(), wanted, trust * counts[:, None])
    return whole, bias


def _fit(marks: csr_matrix, wanted: Matrix, trust: Matrix) -> tuple[Matrix, Matrix]:
    """Return weights and biases of the softmax: least cross-entropy with small weights."""
    count, kinds = marks.shape[1], wanted.shape[1]
    turned = marks.T.tocsr()

    def cost(flat: Matrix) -> tuple[float, Matrix]:
        weights, bias = flat[: count * kinds].reshape(count, kinds), flat[count * kinds :]
        logs = marks @ weights + bias
        logs -= logs.max(axis=1, keepdims=True)
        logs -= np.log(np.exp(logs).sum(axis=1, keepdims=True))
        off = (np.exp(logs) - wanted) * trust
        total = 0.5 * float((weights * weights).sum()) - float((trust * wanted * logs).sum())
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
