"""Prints how well words are understood that training has not seen: confusions, failures and what each step adds."""

from __future__ import annotations

import argparse
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace

import numpy as np

from diag.intake import Intake
from diag.words.joining import FALL_OF_UNTRAINED, SURE_OF_UNTRAINED
from diag.words.trained import NOTHING, Trained
from knowledge.lexicon import load_lexicon
from tests.bench.train_words import train
from tests.bench.word_costs import print_costs, print_misspellings
from tests.bench.word_items import (
    ALL_BUILD,
    FOLDED,
    Fold,
    Item,
    Result,
    Sites,
    figures,
    load_intake,
    load_sites,
    read_folds,
    read_items,
    run,
    share,
)

ENGLISH = "lexicon[.-][!dgp]*"
"""Leaves out the German and the Danish file."""
COLUMNS = ("first", "first three", "out of scope refused", "falsely refused", "part right")
WORST = 20
REFUSED_BELOW = 0.55


def print_table(results: Sequence[Result]) -> None:
    """Print the figures, then each writer, then each pair that is confused."""
    for name, figure in figures(results).items():
        print(f"{name:28} {figure}")
    _print_groups("writer", results, lambda it: it.item.writer)
    _print_groups("noise", results, lambda it: "noise" if it.item.noise else "no noise")
    print("\nmost confused: meant, given")
    for (meant, given), count in confused(results).most_common(25):
        print(f"  {count:3} {meant}, {given}")


def _print_groups(title: str, results: Iterable[Result], key: Callable[[Result], str]) -> None:
    print(f"\nby {title:13} first              first three")
    groups: dict[str, list[Result]] = defaultdict(list)
    for it in results:
        if it.item.symptoms:
            groups[key(it)].append(it)
    for group, found in sorted(groups.items()):
        print(f"  {group:14} {share(it.first_right for it in found)}   {share(it.three_right for it in found)}")


def confused(results: Iterable[Result]) -> Counter[tuple[str, str]]:
    """Count what was meant and what was given instead."""
    return Counter(
        (it.item.symptoms[0], it.ids[0] if it.ids else "refused")
        for it in results
        if it.item.symptoms and not it.first_right
    )


def print_worst(results: Iterable[Result], limit: int) -> None:
    """Print the phrases farthest from being understood, and why as far as it can be seen."""
    failed = [it for it in results if (not it.first_right if it.item.symptoms else it.understood.recognised)]
    print(f"\nthe {limit} worst of {len(failed)} failures")
    for it in sorted(failed, key=_rightness)[:limit]:
        given = ", ".join(f"{one.symptom} {one.score:.2f}" for one in it.understood.symptoms[:3])
        print(f"  {it.item.text}\n    meant {'+'.join(it.item.symptoms) or NOTHING}; given {given or 'refused'}")
        print(f"    cause: {_cause(it)}")


def _rightness(result: Result) -> float:
    """Return the chance given to what was meant, less that of what came first."""
    chances = {it.symptom: it.score for it in result.understood.symptoms}
    right = max((chances.get(symptom, 0.0) for symptom in result.item.symptoms), default=0.0)
    return right - max(chances.values(), default=1.0)


def _cause(result: Result) -> str:
    understood = result.understood
    if not result.item.symptoms:
        return "other trades' words so like ours that the thing did not decide"
    if not understood.recognised:
        return "too little said in words that occur in any phrase; taken for another matter"
    if result.three_right:
        return "neighbouring symptoms; the right one is among the first three"
    says = [chip.meaning for chip in understood.frame if chip.role == "what happens"]
    return f"what happens was taken as: {', '.join(says)}" if says else "no idea found of what happens"


def print_wrong_parts(results: Iterable[Result]) -> None:
    """Print phrases whose part was missed."""
    for it in results:
        if it.item.symptoms and it.item.part and it.part != it.item.part:
            print(f"{it.item.text}\n    {it.item.site} meant {it.item.part} given {it.part}", end=" ")
            print(f"of {it.understood.parts}")


def without_training(trained: Trained) -> Trained:
    """Return weights that tell nothing: patterns and phrases alone decide, and a score of about 0.55 is refused."""
    kinds = ("untold", NOTHING)
    return replace(
        trained,
        meanings=kinds,
        weights=trained.weights[:, : len(kinds)] * 0,
        scale=trained.scale[: len(kinds)],
        bias=np.array([0.0, FALL_OF_UNTRAINED * (REFUSED_BELOW - SURE_OF_UNTRAINED)], np.float32),
    )


def ablations(folds: Sequence[Fold], sites: Sites) -> Iterator[tuple[str, dict[str, str]]]:
    """Yield the figures without one step at a time, over the phrases that training did not see."""
    lexicon = load_lexicon()
    whole = load_intake(lexicon)
    unmended = replace(whole.vocabulary, meant={}, short={}, misheard={})
    fewer = replace(lexicon, words={**lexicon.words, "neg": "", "refusal": ""})
    changed: dict[str, Intake] = {
        "everything": whole,
        "without training": replace(whole, sites={}),
        "training alone": replace(whole, patterns={}, phrases=(), sites={}),
        "without patterns": replace(whole, patterns={}, sites={}),
        "without phrases": replace(whole, phrases=(), sites={}),
        "without mending": replace(whole, vocabulary=unmended, sites={}),
        "without denial": load_intake(fewer),
        "English words only": load_intake(load_lexicon(pattern=ENGLISH)),
    }
    for name, intake in changed.items():
        weights = without_training if name == "without training" else lambda it: it
        yield name, figures(run_folds(intake, folds, sites, weights))
    yield "without site names", figures(run_folds(whole, folds, {}))


def run_folds(
    intake: Intake, folds: Iterable[Fold], sites: Sites, weights: Callable[[Trained], Trained] = lambda it: it
) -> list[Result]:
    """Understand every phrase with the weights of the training that did not see it."""
    return [
        result
        for fold in folds
        for result in run(replace(intake, trained=weights(fold.trained), sites={}), fold.unseen, sites)
    ]


def print_ablations(folds: Sequence[Fold], sites: Sites) -> None:
    """Print what each step adds."""
    print(f"\n{'':20}" + "".join(f"{column:>22}" for column in COLUMNS))
    for name, found in ablations(folds, sites):
        print(f"{name:20}" + "".join(f"{found[column].split(' of')[0]:>22}" for column in COLUMNS))


def print_held_out(sites: Sites, with_parts: bool) -> None:
    """Print everything about phrases left out of training, half and half."""
    intake = load_intake()
    folds = [Fold(train(seen), unseen) for seen, unseen in read_folds()]
    labelled, every = read_items("tests/words/build-[abc].yaml"), read_items(ALL_BUILD)
    print(f"{len(labelled)} labelled phrases and {len(every) - len(labelled)} further ones for training")
    print(f"each half of {FOLDED} understood after training on all but it")
    results = run_folds(intake, folds, sites)
    print_table(results)
    print_worst(results, WORST)
    if with_parts:
        print_wrong_parts(results)
    print_ablations(folds, sites)
    fold = folds[0]
    print("\none real misspelling in each phrase, in a half that training did not see")
    print_misspellings(replace(intake, trained=fold.trained, sites={}), fold.unseen, sites)
    print()
    print_costs(intake, labelled, sites)


def print_files(items: Sequence[Item], sites: Sites, with_parts: bool, failures: int) -> None:
    """Print how well the shipped weights understand some files; no phrase of theirs unless asked."""
    results = run(load_intake(), items, sites)
    print_table(results)
    if failures:
        print_worst(results, failures)
    if with_parts:
        print_wrong_parts(results)


def main() -> None:
    """Run what was asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--files", help="only measure these files with the shipped weights, named from the top folder")
    parser.add_argument("--parts", action="store_true", help="print the parts that were missed")
    parser.add_argument("--failures", type=int, default=0, metavar="N", help="with --files, print the N worst phrases")
    chosen = parser.parse_args()
    if chosen.files:
        print_files(read_items(chosen.files), load_sites(), chosen.parts, chosen.failures)
    else:
        print_held_out(load_sites(), chosen.parts)


if __name__ == "__main__":
    main()
