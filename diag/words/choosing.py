"""Choose which of the parts named in a text a symptom is about."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from diag.words.ideas import Mention
from diag.words.roles import Features
from diag.words.site_names import SiteNames
from knowledge.entries import Symptom

_NEAREST = {
    "drive": ("drive", "opening", "zone", "output"),
    "opening": ("opening", "drive", "zone"),
    "zone": ("zone", "opening", "drive", "output", "input"),
    "controller": ("controller", "output", "zone"),
    "output": ("output", "cable", "junction", "drive", "zone", "opening"),
    "input": ("input", "zone"),
    "link": ("link", "input"),
    "fan": ("fan",),
}
_MOVING = frozenset({"drive", "zone", "opening"})
_ONLY_ONE = {
    "rain-device": "rain",
    "wind-device": "wind",
    "wall-thermostat": "thermostat",
    "key-switch": "key-switch",
    "air-quality": "co2",
    "call-point": "call-point",
    "detector": "detector-line",
    "link": "link",
    "fan": "fan",
    "panel": "controller",
}
"""Things of which a site may have one only, so that saying what it is names it."""
_ASKED_FIRST = frozenset({"wrong-zone-moves", "too-many-move"})
"""Here the part is what was asked, a switch or the part named first, and not what moved besides."""
_TIMED = frozenset({"wrong-time", "automatic-ignored"})
_OPENING = frozenset({"opens", "no-open", "asked-open"})
_CLOSING = frozenset({"closes", "no-close", "asked-close", "part-way"})
FINE = frozenset({"fine", "work", "others-fine"})


def part_for(symptom: Symptom, mentions: Sequence[Mention], features: Features, names: SiteNames) -> str | None:
    """Return the named part that the symptom is about: the usual kind first, then what can stand for it."""
    named = parts_meant(mentions, features)
    if symptom.id in _ASKED_FIRST:
        return _asked(named, names)
    programme = _programme(named, features, names) if symptom.id in _TIMED else None
    if programme:
        return programme
    if symptom.id == "replaced-part-misbehaves" or _is_of_new_drive(symptom, features):
        named = [*_drives_of(named, features, names), *named]
    if symptom.id == "building-link-offline":
        named = [tuple(names.link_of.get(part, part) for part in parts) for parts in named]
    for kind in _kinds_in_order(symptom):
        for parts in named:
            of_kind = [part for part in parts if names.kinds[part] == kind]
            if kind == "opening":
                of_kind = of_kind or _shared_opening(parts, names)
            if kind == "zone":
                of_kind = of_kind or _whole_zone(parts, names)
            if len(of_kind) == 1:
                return of_kind[0]
    single = [parts[0] for parts in named if len(parts) == 1]
    return single[0] if single else _only_one(symptom, features, names)


def _is_of_new_drive(symptom: Symptom, features: Features) -> bool:
    """Tell whether a symptom of drives is told of a drive that was replaced."""
    return "drive" in map(str, symptom.about) and any("replaced" in ideas for ideas in features)


def _asked(named: Sequence[tuple[str, ...]], names: SiteNames) -> str | None:
    single = [parts[0] for parts in named if len(parts) == 1]
    switches = [part for part in single if names.kinds[part] == "input"]
    return next(iter([*switches, *single]), None)


def _programme(named: Sequence[tuple[str, ...]], features: Features, names: SiteNames) -> str | None:
    """Return the time programme named; of one that opens and one that closes, the one whose act is spoken of."""
    ideas: frozenset[str] = frozenset().union(*features)
    is_closing = bool(ideas & _CLOSING) and not ideas & _OPENING
    for parts in named:
        if {names.kinds[part] for part in parts} == {"schedule"}:
            fitting = [part for part in parts if len(parts) == 1 or names.opens[part] != is_closing]
            return fitting[0] if len(fitting) == 1 else None
    return None


def _drives_of(named: Sequence[tuple[str, ...]], features: Features, names: SiteNames) -> list[tuple[str, ...]]:
    """Return the only drive of a named opening where a drive is spoken of, as in `the vent had its motor changed`."""
    if not any("drive" in ideas for ideas in features):
        return []
    openings = [parts[0] for parts in named if len(parts) == 1 and names.kinds[parts[0]] == "opening"]
    drives = [tuple(drive for drive, moved in names.opening_of.items() if moved == opening) for opening in openings]
    return [found for found in drives if len(found) == 1]


def _shared_opening(parts: tuple[str, ...], names: SiteNames) -> list[str]:
    """Return the one opening that several drives move, as `the motors of vent 1` means vent 1."""
    openings = {names.opening_of.get(part) for part in parts}
    return [opening for opening in openings if opening] if len(parts) > 1 and len(openings) == 1 else []


def _whole_zone(parts: tuple[str, ...], names: SiteNames) -> list[str]:
    """Return the one zone that is made of just these openings, as `the reading room windows` means their zone."""
    zones = [zone for zone, openings in names.openings_of.items() if len(openings) > 1 and openings == {*parts}]
    return zones if len(zones) == 1 else []


def parts_meant(mentions: Sequence[Mention], features: Features) -> list[tuple[str, ...]]:
    """Return the parts of each mention, without those said to be fine or not meant when others are left."""
    places = [index for index, mention in enumerate(mentions) if mention.parts]
    meant = [index for index in places if not _is_excluded(mentions, features, index)]
    return [mentions[index].parts for index in meant or places]


def _only_one(symptom: Symptom, features: Features, names: SiteNames) -> str | None:
    ideas = frozenset().union(*features)
    for idea, sort in _ONLY_ONE.items():
        parts = names.of_sort.get(sort, ())
        if idea in ideas and len(parts) == 1 and names.kinds[parts[0]] in symptom.about:
            return parts[0]
    return None


def _kinds_in_order(symptom: Symptom) -> Iterator[str]:
    about = [str(kind) for kind in symptom.about]
    if _MOVING.issuperset(about):
        yield from ("opening", "drive", "zone", "output", "input")
        return
    for first in about:
        yield from _NEAREST.get(first, (first,))


def _is_excluded(mentions: Sequence[Mention], features: Features, index: int) -> bool:
    before = mentions[index - 1] if index else None
    if before is not None and before.has("neg") and before.last + 3 > mentions[index].first:
        return True
    after = next((ideas for ideas in features[index + 1 : index + 3] if ideas), frozenset())
    return bool(after & FINE)
