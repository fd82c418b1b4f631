"""The names of one site's parts, as sets of words ready to be met in a text."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from diag.words.cleaning import split_words
from diag.words.name_words import ORDINALS, PASSED_OVER, canonical, is_head, translated
from diag.words.vocabulary import by_length

if TYPE_CHECKING:
    from pydantic import BaseModel

    from diag.topology import Topology

_KIND_IDEAS = {
    "drive": "drive", "zone": "zone", "output": "output", "controller": "panel", "link": "link", "fan": "fan",
    "cable": "line", "junction": "line", "schedule": "clock", "lockout": "neutral",
}  # fmt: skip
_OPENING_IDEAS = {"window": "window", "roof-vent": "vent", "louvre": "louvre", "damper": "damper"}
_INPUT_IDEAS = {
    "switch": "switch", "key-switch": "key-switch", "thermostat": "wall-thermostat", "rain": "rain-sensor",
    "wind": "wind-sensor", "temperature": "sensor", "co2": "air-quality", "detector-line": "detector",
    "call-point": "call-point", "link": "link",
}  # fmt: skip
_NUMBERED_HEADS = {
    "drive": "drive", "output": "output", "controller": "controller", "fan": "fan", "window": "window",
    "roof-vent": "vent", "louvre": "louvre", "damper": "damper",
}  # fmt: skip
_ID = re.compile(r"[a-z]+([0-9]+)")
_QUIET_KINDS = frozenset({"cable", "junction", "lockout", "schedule"})


@dataclass(frozen=True, slots=True)
class Name:
    """One name of a part: its words in order, its words as a set, and the head that says what it is."""

    part: str
    words: tuple[str, ...]
    canon: frozenset[str]
    head: str | None


@dataclass(frozen=True)
class SiteNames:
    """All names of the parts of a site."""

    by_first: Mapping[str, tuple[Name, ...]]
    names: tuple[Name, ...]
    ids: Mapping[str, str]
    numbered: Mapping[tuple[str, str], str]
    """Parts whose id is letters and a number, by their head and that number."""
    vocabulary: frozenset[str]
    spellings: Mapping[int, tuple[str, ...]]
    """The words of names by length."""
    around: Mapping[str, frozenset[str]]
    """Words of the place and the note of each part."""
    kinds: Mapping[str, str]
    of_sort: Mapping[str, tuple[str, ...]]
    """Inputs by what they sense, and controllers, links and fans."""
    opening_of: Mapping[str, str | None]
    """What each drive moves."""
    part_ideas: Mapping[str, str]
    """The idea of the lexicon that each part is."""


def build_site_names(topology: Topology) -> SiteNames:
    """Return the names of a site's parts."""
    names = tuple(name for part, it in topology.parts.items() for name in _names(part, it))
    by_first: dict[str, list[Name]] = defaultdict(list)
    for name in names:
        by_first[name.words[0]].append(name)
    around = {part: _around(it, topology) for part, it in topology.parts.items()}
    said = {word for name in names for word in name.words} | {word for words in around.values() for word in words}
    return SiteNames(
        by_first={first: tuple(sorted(found, key=lambda it: -len(it.words))) for first, found in by_first.items()},
        names=names,
        ids=_ids(topology),
        numbered=_numbered(topology),
        vocabulary=frozenset(said),
        spellings=by_length(word for word in said if len(word) > 3 and word.isalpha()),
        around=around,
        kinds=dict(topology.kinds),
        of_sort=_sorts(topology),
        opening_of={part: drive.opening for part, drive in topology.site.drives.items()},
        part_ideas={part: _idea(part, topology) for part in topology.parts},
    )


def _idea(part: str, topology: Topology) -> str:
    kind = topology.kinds[part]
    sort = getattr(topology.parts[part], "kind", None) or ""
    if kind == "opening":
        return _OPENING_IDEAS.get(sort, "window")
    return _INPUT_IDEAS.get(sort, "switch") if kind == "input" else _KIND_IDEAS[kind]


def _sorts(topology: Topology) -> dict[str, tuple[str, ...]]:
    found: dict[str, list[str]] = defaultdict(list)
    for part, kind in topology.kinds.items():
        sort = topology.site.inputs[part].kind if kind == "input" else kind
        if sort and not (kind == "input" and sort == "link"):
            found[sort].append(part)
    return {sort: tuple(parts) for sort, parts in found.items()}


def is_quiet(kind: str) -> bool:
    """Tell whether parts of this kind are meant only when their whole name is said."""
    return kind in _QUIET_KINDS


def name_words(text: str) -> tuple[str, ...]:
    """Return the words of a name that count, numbers as digits, sides and places in English."""
    words = (word.text for word in split_words(text) if not word.is_mark)
    return tuple(ORDINALS.get(word) or translated(word) for word in words if word not in PASSED_OVER)


def _names(part: str, described: BaseModel) -> Iterator[Name]:
    given = [getattr(described, "name", None), *getattr(described, "also", ())]
    for text in {alias for name in given if name for alias in _aliases(name)}:
        words = name_words(text)
        if words:
            yield Name(part, words, frozenset(map(canonical, words)), _head(text, words))


def _aliases(name: str) -> Iterable[str]:
    """Return the name, what stands before and after its comma, and `hall drive` for `drive of the hall`."""
    before_comma, _, after_comma = name.partition(", ")
    what, _, whose = name.partition(" of ")
    after_words = name_words(after_comma)
    says_where = len(after_words) > 1 and not any(map(is_head, after_words))
    return {name, before_comma, after_comma if says_where else name, f"{whose} {what}" if whose else name}


def _head(text: str, words: tuple[str, ...]) -> str | None:
    """Return what the part is: the first such word of `drive of ...` and `output 1, ...`, else the last."""
    heads = [canonical(word) for word in words if is_head(word)]
    if not heads:
        return None
    return heads[0] if " of " in text or "," in text else heads[-1]


def _around(described: BaseModel, topology: Topology) -> frozenset[str]:
    place = topology.site.places.get(getattr(described, "place", None) or "")
    texts = [getattr(described, "note", None)]
    texts += [place.name, *place.also] if place else []
    return frozenset(canonical(word) for text in texts if text for word in name_words(text))


def _ids(topology: Topology) -> dict[str, str]:
    """Return ids without their hyphens; a plain word such as `rain` does not count as an id."""
    found: dict[str, str] = {}
    for part, kind in topology.kinds.items():
        has_digit = any(letter.isdigit() for letter in part)
        if has_digit or len(part) <= 2 or ("-" in part and kind == "input"):
            found[part.replace("-", "")] = part
    return found


def _numbered(topology: Topology) -> dict[tuple[str, str], str]:
    """Return the parts by head and number; a number that two parts of one head share names neither."""
    found: dict[tuple[str, str], list[str]] = defaultdict(list)
    for part, kind in topology.kinds.items():
        numbered = _ID.fullmatch(part)
        head = _NUMBERED_HEADS.get(kind) or _NUMBERED_HEADS.get(getattr(topology.parts[part], "kind", None) or "")
        if numbered and head:
            found[head, numbered.group(1)].append(part)
    return {key: parts[0] for key, parts in found.items() if len(parts) == 1}
