"""The names of one site's parts, as sets of words ready to be met in a text."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from diag.words.cleaning import split_words
from diag.words.name_words import ORDINALS, PASSED_OVER, canonical, is_head, translated, words_for
from diag.words.vocabulary import by_length

if TYPE_CHECKING:
    from pydantic import BaseModel

    from diag.site import Schedule
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
    "drive": "drive", "output": "output", "controller": "controller", "fan": "fan", "window": "window", "zone": "zone",
    "roof-vent": "vent", "louvre": "louvre", "damper": "damper",
}  # fmt: skip
_ID = re.compile(r"[a-z]+([0-9]+)")
_LETTERED_ID = re.compile(r"z([a-z])")
_VERB = re.compile(r" (opens?|closes?|on|off|starts?|stops?|ends?)$")
_QUIET_KINDS = frozenset({"cable", "junction", "lockout"})
_MANAGEMENT = ("bms", "building management")
"""What an input is called that carries the commands of a management system. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Name:
    """One name of a part: its words in order, its words as a set, and the head that says what it is."""

    part: str
    words: tuple[str, ...]
    canon: frozenset[str]
    head: str | None
    of_opening: bool = False
    """It says of a drive which opening it moves, and counts where both are spoken of."""


@dataclass(frozen=True)
class SiteNames:
    """All names of the parts of a site."""

    by_first: Mapping[str, tuple[Name, ...]]
    names: tuple[Name, ...]
    given: Mapping[str, str]
    """What each part is called when it is shown."""
    ids: Mapping[str, str]
    numbered: Mapping[tuple[str, str], str]
    """Parts whose id is letters and a number, by their head and that number."""
    vocabulary: frozenset[str]
    spellings: Mapping[int, tuple[str, ...]]
    """The words of names, and the words for what parts are, by length."""
    around: Mapping[str, frozenset[str]]
    """Words of the place and the note of each part."""
    kinds: Mapping[str, str]
    of_sort: Mapping[str, tuple[str, ...]]
    """Inputs by what they sense, and controllers, links and fans."""
    opening_of: Mapping[str, str | None]
    """What each drive moves."""
    openings_of: Mapping[str, frozenset[str]]
    """What each zone opens."""
    link_of: Mapping[str, str]
    """The link by which an input gets the commands of a management system."""
    part_ideas: Mapping[str, str]
    """The idea of the lexicon that each part is."""
    opens: Mapping[str, bool]
    """Whether a time programme opens."""


def build_site_names(topology: Topology) -> SiteNames:
    """Return the names of a site's parts."""
    own = [name for part, it in topology.parts.items() for name in _names(part, it, topology.kinds[part])]
    names = (*own, *_drives_by_opening(own, topology))
    by_first: dict[str, list[Name]] = defaultdict(list)
    for name in names:
        by_first[canonical(name.words[0])].append(name)
    around = {part: _around(it, topology) | _beside(part, topology) for part, it in topology.parts.items()}
    said = {word for name in names for word in name.words} | {word for words in around.values() for word in words}
    return SiteNames(
        by_first={first: tuple(sorted(found, key=lambda it: -len(it.words))) for first, found in by_first.items()},
        names=names,
        given={part: topology.name(part) for part in topology.parts},
        ids=_ids(topology),
        numbered=_numbered(topology),
        vocabulary=frozenset(said),
        spellings=by_length(word for word in said | set(words_for(said)) if len(word) > 3 and word.isalpha()),
        around=around,
        kinds=dict(topology.kinds),
        of_sort=_sorts(topology),
        opening_of={part: drive.opening for part, drive in topology.site.drives.items()},
        openings_of={zone: frozenset(it.openings or ()) for zone, it in topology.site.zones.items()},
        link_of={part: it.link for part, it in topology.site.inputs.items() if it.link},
        part_ideas={part: _idea(part, topology) for part in topology.parts},
        opens={part: (it.does or "").startswith(("open", "automatic-on")) for part, it in _schedules(topology)},
    )


def _schedules(topology: Topology) -> Iterable[tuple[str, Schedule]]:
    return (topology.site.schedules or {}).items()


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


def _names(part: str, described: BaseModel, kind: str) -> Iterator[Name]:
    given = [getattr(described, "name", None), *getattr(described, "also", ()), *_further(described, kind)]
    head = "schedule" if kind == "schedule" else None
    for text in {alias for name in given if name for alias in _aliases(name)}:
        words = name_words(text)
        if words:
            canon = frozenset(map(canonical, words)) | ({head} if head else set())
            yield Name(part, words, canon, head or _head(text, words))


def _drives_by_opening(names: Iterable[Name], topology: Topology) -> Iterator[Name]:
    """Yield, for the only drive of an opening, a name after each name of the opening: `drive south right window`."""
    drives: dict[str | None, list[str]] = defaultdict(list)
    for part, drive in topology.site.drives.items():
        drives[drive.opening].append(part)
    for name in names:
        if topology.kinds[name.part] == "opening" and len(drives[name.part]) == 1:
            for words in (("drive", *name.words), (*name.words, "drive")):
                yield Name(drives[name.part][0], words, name.canon | {"drive"}, "drive", of_opening=True)


def _further(described: BaseModel, kind: str) -> Iterator[str | None]:
    """Yield what a part is also called because of what it is: the trunk of a link, a programme without its verb."""
    if kind == "cable":
        yield (getattr(described, "name", None) or "").replace(" of ", " to ")
    if kind == "link":
        yield getattr(described, "trunk", None)
        yield from (name.removesuffix(" link") for name in getattr(described, "also", ()))
    if kind == "schedule":
        yield _VERB.sub("", getattr(described, "name", None) or "")
    if kind == "input" and getattr(described, "kind", None) == "link":
        yield from _MANAGEMENT


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


def _beside(part: str, topology: Topology) -> frozenset[str]:
    """Return words by which a part is told from others of its kind: of its zones, or of what is in its zone."""
    kind = topology.kinds[part]
    if kind == "opening":
        return _words_of(topology.zones_of_opening(part), topology)
    if kind == "zone":
        inside = topology.site.zones[part].openings or ()
        return frozenset(word for word in _words_of(inside, topology) if is_head(word))
    zones = list(getattr(topology.parts[part], "zones", None) or ())
    if kind not in ("input", "schedule") or len(zones) != 1:
        return frozenset()
    return _words_of([*zones, *(topology.site.zones[zones[0]].openings or ())], topology)


def _words_of(parts: Iterable[str], topology: Topology) -> frozenset[str]:
    texts = [
        text
        for part in parts
        for text in (getattr(topology.parts[part], "name", None), *getattr(topology.parts[part], "also", ()))
    ]
    words = {canonical(word) for text in texts if text for word in name_words(text)}
    return frozenset(word for word in words if not word.isdigit())


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
        numbered = _LETTERED_ID.fullmatch(part) if kind == "zone" else _ID.fullmatch(part)
        head = _NUMBERED_HEADS.get(kind) or _NUMBERED_HEADS.get(getattr(topology.parts[part], "kind", None) or "")
        if numbered and head:
            found[head, numbered.group(1)].append(part)
    return {key: parts[0] for key, parts in found.items() if len(parts) == 1}
