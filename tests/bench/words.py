"""Prints how well typed words are understood, by writer, with confusions and what each step adds."""

from __future__ import annotations

import argparse
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace

from knowledge.lexicon import load_lexicon
from tests.bench.word_costs import print_costs, print_misspellings
from tests.bench.word_items import (
    Item,
    Result,
    Sites,
    figures,
    load_intake,
    load_sites,
    read_items,
    run,
    share,
)

FILES = "tests/words/build-*.yaml"
ENGLISH = "lexicon[.-][!dgp]*"
"""Leaves out the German and the Danish file."""
COLUMNS = ("first", "first three", "out of scope refused", "falsely refused", "part right")


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


def print_failures(results: Iterable[Result], limit: int) -> None:
    """Print phrases that were not understood."""
    failed = [it for it in results if (not it.first_right if it.item.symptoms else it.understood.recognised)]
    for it in failed[:limit]:
        given = [(one.symptom, one.score) for one in it.understood.symptoms[:3]]
        print(f"{it.item.text}\n    meant {list(it.item.symptoms)} given {given}")


def print_wrong_parts(results: Iterable[Result]) -> None:
    """Print phrases whose part was missed."""
    for it in results:
        if it.item.symptoms and it.item.part and it.part != it.item.part:
            print(f"{it.item.text}\n    {it.item.site} meant {it.item.part} given {it.part}", end=" ")
            print(f"of {it.understood.parts}")


def ablations(items: Sequence[Item], sites: Sites) -> Iterator[tuple[str, dict[str, str]]]:
    """Yield the figures without one step at a time."""
    lexicon = load_lexicon()
    whole = load_intake(lexicon)
    unmended = replace(whole.vocabulary, meant={}, short={}, misheard={})
    words = {
        "without denial": ("neg", "refusal"),
        "without who asks": ("ask", "press", "command-word", "button", "tap", "hold"),
    }
    yield "everything", figures(run(whole, items, sites))
    yield "without mending", figures(run(replace(whole, vocabulary=unmended, sites={}), items, sites))
    yield "without examples", figures(run(replace(whole, phrases=(), sites={}), items, sites))
    yield "without patterns", figures(run(replace(whole, patterns={}, sites={}), items, sites))
    for name, left_out in words.items():
        fewer = replace(lexicon, words={**lexicon.words, **dict.fromkeys(left_out, "")})
        yield name, figures(run(load_intake(fewer), items, sites))
    yield "without site names", figures(run(whole, items, {}))
    yield "English words only", figures(run(load_intake(load_lexicon(pattern=ENGLISH)), items, sites))


def print_ablations(items: Sequence[Item], sites: Sites) -> None:
    """Print what each step adds."""
    print(f"\n{'':20}" + "".join(f"{column:>22}" for column in COLUMNS))
    for name, found in ablations(items, sites):
        print(f"{name:20}" + "".join(f"{found[column].split(' of')[0]:>22}" for column in COLUMNS))


def main() -> None:
    """Run what was asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--files", default=FILES, help="pattern of the labelled files, from the top folder")
    parser.add_argument("--failures", type=int, default=0, metavar="N", help="print N phrases not understood")
    parser.add_argument("--parts", action="store_true", help="print the parts that were missed")
    parser.add_argument("--ablations", action="store_true", help="print what each step adds")
    parser.add_argument("--misspellings", action="store_true", help="print what real misspellings cost")
    parser.add_argument("--costs", action="store_true", help="print time and memory")
    chosen = parser.parse_args()
    items, sites, intake = read_items(chosen.files), load_sites(), load_intake()
    results = run(intake, items, sites)
    print_table(results)
    if chosen.failures:
        print_failures(results, chosen.failures)
    if chosen.parts:
        print_wrong_parts(results)
    if chosen.ablations:
        print_ablations(items, sites)
    if chosen.misspellings:
        print_misspellings(intake, items, sites)
    if chosen.costs:
        print_costs(intake, items, sites)


if __name__ == "__main__":
    main()
