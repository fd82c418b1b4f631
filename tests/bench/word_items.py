"""Labelled phrases, what is made of them, and the shares that come out right."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from diag.intake import Intake, Understood, build_intake, understand
from diag.site_file import load_site
from diag.topology import Topology, read_topology
from knowledge.lexicon import Lexicon, load_lexicon
from knowledge.load import load_symptoms

ROOT = Path(__file__).parents[2]
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


def read_items(pattern: str) -> list[Item]:
    """Return the labelled phrases of the files that match."""
    return [_item(raw) for path in sorted(ROOT.glob(pattern)) for raw in yaml.safe_load(path.read_text("utf-8"))]


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
