"""Make a draft from a building's metadata in the Brick vocabulary, as Turtle.

The classes are those of the open Brick schema (brickschema.org), named from memory; a class that is not listed is told
as a remark and never guessed at.
"""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module
from importlib.util import find_spec
from typing import Any

from api.sites.draft import BadDraft, Draft

BRICK = "https://brickschema.org/schema/Brick#"
KINDS: Mapping[str, tuple[str, Mapping[str, str]]] = {
    "Controller": ("controllers", {}),
    "HVAC_Zone": ("zones", {}),
    "Damper": ("openings", {"kind": "damper"}),
    "Exhaust_Damper": ("openings", {"kind": "damper"}),
    "Outside_Damper": ("openings", {"kind": "damper"}),
    "Fan": ("fans", {}),
    "Exhaust_Fan": ("fans", {"kind": "extract"}),
    "Supply_Fan": ("fans", {"kind": "supply"}),
    "Thermostat": ("inputs", {"kind": "thermostat"}),
    "Rain_Sensor": ("inputs", {"kind": "rain"}),
    "Wind_Speed_Sensor": ("inputs", {"kind": "wind"}),
    "CO2_Sensor": ("inputs", {"kind": "co2", "unit": "ppm"}),
    "CO2_Level_Sensor": ("inputs", {"kind": "co2", "unit": "ppm"}),
    "Temperature_Sensor": ("inputs", {"kind": "temperature", "unit": "C"}),
    "Air_Temperature_Sensor": ("inputs", {"kind": "temperature", "unit": "C"}),
    "Zone_Air_Temperature_Sensor": ("inputs", {"kind": "temperature", "unit": "C"}),
    "Outside_Air_Temperature_Sensor": ("inputs", {"kind": "temperature", "unit": "C"}),
}
SHOWN_REMARKS = 100


class NoReader(BadDraft):
    """The library that reads Turtle is not installed."""

    def __init__(self) -> None:
        super().__init__("Turtle cannot be read here. Next: pip install 'ventsleuth[brick]', or send CSV.")


def draft_from_brick(text: str, name: str) -> Draft:
    """Return a draft of the things whose class is known; zones hold the openings that are their parts.

    Raises BadDraft when it is not Turtle or holds nothing of use, NoReader without the library.
    """
    if find_spec("rdflib") is None:
        raise NoReader
    rdflib: Any = import_module("rdflib")
    graph = rdflib.Graph()
    try:
        graph.parse(data=text, format="turtle")
    except Exception as error:  # the parser raises many kinds
        raise BadDraft(f"The text is not Turtle that can be read: {str(error).splitlines()[0][:200]}") from None
    draft = Draft(name)
    ids = {thing: _add(draft, graph, rdflib, thing, cls) for thing, cls in _typed(graph, rdflib)}
    _join_zones(draft, graph, rdflib, {thing: it for thing, it in ids.items() if it})
    if not draft.parts:
        raise BadDraft(f"Nothing in it is of a known Brick class; those are: {', '.join(KINDS)}.")
    return draft


def _typed(graph: Any, rdflib: Any) -> list[tuple[Any, str]]:
    pairs = graph.subject_objects(rdflib.RDF.type)
    found = {thing: str(cls).removeprefix(BRICK) for thing, cls in pairs if str(cls).startswith(BRICK)}
    return sorted(found.items(), key=lambda it: str(it[0]))


def _add(draft: Draft, graph: Any, rdflib: Any, thing: Any, cls: str) -> str | None:
    if cls not in KINDS:
        if len(draft.remarks) < SHOWN_REMARKS:
            draft.remarks.append(f"{_local(thing)} is a {cls[:60]}, which no part here is; it was left out.")
        return None
    collection, fields = KINDS[cls]
    label = graph.value(thing, rdflib.RDFS.label)
    named = {"name": " ".join(str(label).split())[:200]} if label else {}
    return draft.add(collection, _local(thing), {**fields, **named})


def _join_zones(draft: Draft, graph: Any, rdflib: Any, ids: Mapping[Any, str]) -> None:
    brick = rdflib.Namespace(BRICK)
    zones, openings = draft.parts.get("zones", {}), draft.parts.get("openings", {})
    pairs = [*graph.subject_objects(brick.hasPart), *((b, a) for a, b in graph.subject_objects(brick.isPartOf))]
    for whole, part in sorted(pairs, key=str):
        zone, opening = ids.get(whole), ids.get(part)
        if zone in zones and opening in openings:
            held = zones[zone].setdefault("openings", [])
            if opening not in held:
                held.append(opening)


def _local(thing: Any) -> str:
    return str(thing).rpartition("#")[2].rpartition("/")[2][:60]
