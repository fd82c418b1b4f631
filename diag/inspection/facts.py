"""Turn a site description into the flat facts that inspection rules ask for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import cast

from diag.inspection.chapter import Asked
from diag.inspection.drive_facts import drive_words
from diag.inspection.input_facts import input_words
from diag.inspection.link_facts import fan_words, link_words
from diag.inspection.lockout_facts import lockout_words, schedule_words
from diag.inspection.opening_facts import opening_words
from diag.inspection.output_facts import output_words
from diag.inspection.relations import relation_facts
from diag.inspection.site_facts import site_words
from diag.inspection.supply_facts import controller_words
from diag.inspection.view import View, Words
from diag.inspection.wiring_facts import cable_words, junction_words
from diag.inspection.zone_facts import zone_words
from diag.rules import Fact, Value
from diag.topology import SITE_PART

Describe = Callable[[View, str], Words]


def describers() -> Mapping[str, Describe]:
    """Return what works out the words of each kind of part."""
    return {
        SITE_PART: lambda view, _: site_words(view),
        "controller": controller_words,
        "output": output_words,
        "cable": cable_words,
        "junction": junction_words,
        "drive": drive_words,
        "opening": opening_words,
        "zone": zone_words,
        "input": input_words,
        "lockout": lockout_words,
        "schedule": schedule_words,
        "link": link_words,
        "fan": fan_words,
    }


def inspection_facts(view: View, asked: Asked | None = None) -> tuple[Fact, ...]:
    """Return a fact for each part and each pair worth a look; a field that nobody knows is left out.

    Amounts are in the unit that ends the field's name. With `asked`, facts that meet no condition are left out too:
    the findings are the same, and a sound site gives the engine next to nothing to read.
    """
    return tuple(_facts(view, asked))


def _facts(view: View, asked: Asked | None) -> Iterator[Fact]:
    for kind, describe in describers().items():
        index = None if asked is None else asked.get(kind)
        for part in view.topology.of_kind(kind) if kind != SITE_PART else (SITE_PART,):
            words = describe(view, part)
            words["part"] = part
            # a field of None reads like a missing one
            if asked is None or (index is not None and index.matched(cast("Mapping[str, Value]", words))):
                yield Fact(kind, tuple((name, value) for name, value in sorted(words.items()) if value is not None))
    yield from relation_facts(view)
