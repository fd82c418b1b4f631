"""Labelled phrases, what is made of them, and the shares that come out right."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

import yaml

from diag.intake import Intake, Understood, build_intake, understand
from diag.site_file import load_site
from diag.topology import Topology, read_topology
from diag.words.trained import Trained
from knowledge.lexicon import Lexicon, load_lexicon
from knowledge.load import load_symptoms

ROOT = Path(__file__).parents[2]
LABELLED = "tests/words/build-[abc].yaml"
"""Phrases with writer, noise, site and part."""
ALL_BUILD = "tests/words/build-*.yaml"
"""Those, and further phrases of which only the symptom is known."""
FOLDED = "tests/words/build-[bc].yaml"
"""These are left out of training by halves, to see how words are understood that it has not seen."""
OUT_OF_SCOPE = "out"
THINGS_EACH, OTHERS_EACH = 8, 34
"""With how many things each saying of a grid is put together."""
GRID_WEIGHT = 0.3
"""How much a phrase put together by rule counts in training. Chosen on phrases kept out of it."""
Sites = Mapping[str, Topology]


@dataclass(frozen=True, slots=True)
class Item:
    """One labelled phrase; without symptoms it is out of scope."""

    text: str
    symptoms: tuple[str, ...]
    also_ok: tuple[str, ...]
    writer: str
    noise: bool
    site: str | None
    part: str | None
    weight: float = 1.0
    """How much it counts in training."""


@dataclass(frozen=True, slots=True)
class Result:
    """What became of one phrase."""

    item: Item
    understood: Understood

    @property
    def ids(self) -> list[str]:
        """The symptoms given, best first."""
        return [it.symptom for it in self.understood.symptoms]

    @property
    def first_right(self) -> bool:
        """The first symptom is one that was meant, or one the writer lets pass."""
        return bool(self.ids) and self.ids[0] in (*self.item.symptoms, *self.item.also_ok)

    @property
    def first_strict(self) -> bool:
        """The first symptom is one of the labels proper."""
        return bool(self.ids) and self.ids[0] in self.item.symptoms

    @property
    def three_right(self) -> bool:
        """One symptom: it is among the first three. Two: both are."""
        first = set(self.ids[:3])
        if len(self.item.symptoms) > 1:
            return set(self.item.symptoms) <= first
        return bool(first & {*self.item.symptoms, *self.item.also_ok})

    @property
    def part(self) -> str | None:
        """The part given with the first symptom."""
        return self.understood.symptoms[0].part if self.understood.symptoms else None


@dataclass(frozen=True)
class Fold:
    """Weights, and phrases that played no part in them."""

    trained: Trained
    unseen: Sequence[Item]


def read_folds() -> list[tuple[list[Item], list[Item]]]:
    """Return, for each half of the phrases that are left out in turn, those to train on and those left out."""
    every, folded = read_items(ALL_BUILD), read_items(FOLDED)
    texts = {item.text for item in folded}
    halves = [[item for item in folded if half_of(item.text) == half] for half in (0, 1)]
    rest = [item for item in every if item.text not in texts]
    return [(rest + halves[1], halves[0]), (rest + halves[0], halves[1])]


def half_of(text: str) -> int:
    """Return 0 or 1 by a checksum of the text, so that a phrase always falls into the same half."""
    return sha256(text.encode()).digest()[0] % 2


def read_items(pattern: str) -> list[Item]:
    """Return the labelled phrases of the files that match."""
    return [item for path in sorted(ROOT.glob(pattern)) for item in _items(yaml.safe_load(path.read_text("utf-8")))]


def _items(raw: Any) -> list[Item]:
    """Return the phrases of a file: one by one with all that is known of them, or lines by symptom."""
    if "grid" in raw:
        return list(_grid(raw["grid"]))
    if isinstance(raw, dict):
        return [_line(meant, line.strip()) for meant, lines in raw.items() for line in lines.splitlines()]
    return [_item(one) for one in raw]


def _grid(grid: Mapping[str, Any]) -> Iterator[Item]:
    """Yield each saying with a few of the things it can be said of, taken in turn so that all of them come up."""
    things = {sort: itertools.cycle(names) for sort, names in {**grid["things"], **grid["others"]}.items()}
    for meant, by_sort in grid["sayings"].items():
        for sort, sayings in by_sort.items():
            for saying in sayings:
                for thing in itertools.islice(things[sort], OTHERS_EACH if meant == OUT_OF_SCOPE else THINGS_EACH):
                    yield _line(meant, saying.replace("*", thing).replace("the the ", "the "), GRID_WEIGHT)


def _line(meant: str, text: str, weight: float = 1.0) -> Item:
    symptoms = () if meant == OUT_OF_SCOPE else tuple(meant.split("+"))
    return Item(text, symptoms, (), "any", False, None, None, weight)


def _item(raw: Mapping[str, Any]) -> Item:
    return Item(
        text=str(raw["text"]),
        symptoms=tuple(raw["symptoms"]),
        also_ok=tuple(raw.get("also_ok") or ()),
        writer=raw["writer"],
        noise=bool(raw.get("noise")),
        site=raw.get("site"),
        part=raw.get("part"),
    )


def load_intake(lexicon: Lexicon | None = None) -> Intake:
    """Return the intake the product uses, or the same with another lexicon."""
    symptoms, conditions = load_symptoms()
    return build_intake(symptoms, conditions, lexicon or load_lexicon())


def load_sites() -> Sites:
    """Return the demo sites the phrases speak of."""
    return {name: read_topology(load_site(ROOT / f"diag/demo/{name}.yaml")) for name in ("small", "medium")}


def run(intake: Intake, items: Iterable[Item], sites: Sites) -> list[Result]:
    """Understand every phrase."""
    return [Result(item, understand(intake, item.text, sites.get(item.site or ""))) for item in items]


def share(hits: Iterable[bool]) -> str:
    """Return hits of how many, in per cent."""
    found = list(hits)
    return f"{100 * sum(found) / len(found):5.1f} % of {len(found)}" if found else "none to count"


def figures(results: Sequence[Result]) -> dict[str, str]:
    """Return the figures of the table by what they measure."""
    meant = [it for it in results if it.item.symptoms]
    outside = [it for it in results if not it.item.symptoms]
    unnamed = [it for it in meant if it.item.site and not it.item.part]
    return {
        "first": share(it.first_right for it in meant),
        "first, label proper only": share(it.first_strict for it in meant),
        "first three": share(it.three_right for it in meant),
        "first three, one symptom": share(it.three_right for it in meant if len(it.item.symptoms) == 1),
        "first three, both of two": share(it.three_right for it in meant if len(it.item.symptoms) > 1),
        "out of scope refused": share(not it.understood.recognised for it in outside),
        "falsely refused": share(not it.understood.recognised for it in meant),
        "part right": share(it.part == it.item.part for it in meant if it.item.part),
        "part not invented": share(it.part is None for it in unnamed),
    }
