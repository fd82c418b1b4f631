"""Turn a site description into the flat facts that inspection rules ask for."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Final

from diag.inspection.drive_facts import drive_words, shared_drive_fields
from diag.inspection.input_facts import input_words, shared_input_fields
from diag.inspection.link_facts import fan_words, link_words
from diag.inspection.lockout_facts import lockout_words, schedule_words
from diag.inspection.opening_facts import opening_words, shared_opening_fields
from diag.inspection.output_facts import output_words, shared_output_fields
from diag.inspection.relations import relation_facts
from diag.inspection.sieve import Sieves, sift
from diag.inspection.site_facts import site_words
from diag.inspection.supply_facts import controller_words
from diag.inspection.view import Described, View, Words
from diag.inspection.wiring_facts import cable_words, junction_words, shared_cable_fields
from diag.inspection.zone_facts import shared_zone_fields, zone_words
from diag.rules import Fact
from diag.topology import KINDS, SITE_PART

NOTHING_SHARED: Final[Words] = {}
SECTIONS: Final[Mapping[str, str]] = {kind: section for section, kind in KINDS.items()}


def describe(view: View, kind: str, part: str) -> Words | None:
    """Return the words of one part, or None for a kind of fact that is not about one part alone."""
    describer = _describers().get(kind)
    if describer is None:
        return None
    shared, own = describer(view, part)
    return {**shared, **own}


def described_kinds() -> Mapping[str, frozenset[str]]:
    """Return the kinds of part that have facts, and the fields that parts alike share."""
    shared = {
        "output": shared_output_fields(),
        "cable": shared_cable_fields(),
        "drive": shared_drive_fields(),
        "opening": shared_opening_fields(),
        "zone": shared_zone_fields(),
        "input": shared_input_fields(),
    }
    return {kind: shared.get(kind, frozenset()) for kind in _describers()}


def inspection_facts(view: View, sieves: Sieves | None = None) -> tuple[Fact, ...]:
    """Return a fact for each part and each pair worth a look; a field that nobody knows is left out.

    Amounts are in the unit that ends the field's name. With sieves, facts that meet no condition are left out too:
    the findings are the same, and a sound site gives the engine next to nothing to read.
    """
    return tuple(_facts(view, sieves))


def _facts(view: View, sieves: Sieves | None) -> Iterator[Fact]:
    for kind, describer in _describers().items():
        described = ((part, *describer(view, part)) for part in _parts(view, kind))
        for part, shared, own in described if sieves is None else sift(sieves.get(kind), described):
            yield _fact(kind, {**shared, **own, "part": part})
    yield from relation_facts(view)


def _parts(view: View, kind: str) -> Iterable[str]:
    if kind == SITE_PART:
        return (SITE_PART,)
    parts: Mapping[str, object] = getattr(view.site, SECTIONS[kind])
    return parts


def _fact(kind: str, words: Words) -> Fact:
    return Fact(kind, tuple((name, value) for name, value in sorted(words.items()) if value is not None))


def _describers() -> Mapping[str, Callable[[View, str], Described]]:
    return {
        SITE_PART: _alone(lambda view, _: site_words(view)),
        "controller": _alone(controller_words),
        "output": output_words,
        "cable": cable_words,
        "junction": _alone(junction_words),
        "drive": drive_words,
        "opening": opening_words,
        "zone": zone_words,
        "input": input_words,
        "lockout": _alone(lockout_words),
        "schedule": _alone(schedule_words),
        "link": _alone(link_words),
        "fan": _alone(fan_words),
    }


def _alone(describer: Callable[[View, str], Words]) -> Callable[[View, str], Described]:
    """Describe parts of which hardly two are alike."""
    return lambda view, part: (NOTHING_SHARED, describer(view, part))
