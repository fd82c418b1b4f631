"""Name parts and facts in words a person on site can follow."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from diag.rules import Fact, Firing
from diag.scope import OWN_CABLE, SHARED_CABLE, Scope, is_stand_in
from diag.topology import SITE_PART
from knowledge.load import Knowledge

VARIABLE = re.compile(r"\$[a-z_][a-z0-9_]*")

WHOM: Mapping[str, tuple[str, ...]] = {
    "feeds": ("source", "consumer"),
    "serves": ("source", "zone"),
    "commands": ("input", "zone"),
    "moved-by": ("drive", "opening"),
}
"""The fields that say whom a relation is about; all other facts are about their part."""

STAND_INS: Mapping[str, str] = {
    "controller": "the controller",
    "output": "the output",
    "drive": "the drive",
    "opening": "the opening",
    "junction": "the junction box",
    "zone": "the zone",
    "lockout": "a lockout",
    "schedule": "the time programme",
    "link": "the building link",
    "fan": "the fan",
    "input-switch": "the wall switch",
    "input-key-switch": "the key switch",
    "input-thermostat": "the thermostat",
    "input-rain": "the rain sensor",
    "input-wind": "the wind sensor",
    "input-temperature": "the temperature sensor",
    "input-co2": "the CO2 sensor",
    "input-detector-line": "the detector line",
    "input-call-point": "the manual call point",
    "input-link": "the building-link input",
}


def name_part(scope: Scope, part: str) -> str:
    """Return the part's own name with its id, or plain words for a stand-in."""
    if part == SITE_PART:
        return "the site"
    if part in (OWN_CABLE, SHARED_CABLE):
        return "its own cable" if part == OWN_CABLE else "the shared cable"
    if is_stand_in(part):
        return STAND_INS.get(part[1:], f"the {part[1:].partition('-')[0]}")
    name = scope.topology.name(part)
    return name if name == part else f"{name} ({part})"


def fill_in(text: str, bound: Mapping[str, str], scope: Scope) -> str:
    """Return the text with each `$variable` replaced by the name of its part, the first letter a capital."""
    filled = VARIABLE.sub(lambda found: name_part(scope, bound[found[0]]) if found[0] in bound else found[0], text)
    return filled[:1].upper() + filled[1:]


def bound_parts(firing: Firing, conditions: tuple[Mapping[str, str], ...]) -> dict[str, str]:
    """Return what each variable of a rule stood for; `conditions` gives field by variable for each premise."""
    return {
        variable: str(premise[field])
        for premise, fields in zip(firing.premises, conditions, strict=True)
        for variable, field in fields.items()
    }


def say_fact(scope: Scope, knowledge: Knowledge, premise: Fact, fields: Iterable[str]) -> str:
    """Return what a rule took from a fact, in short words: whom it is about and the fields it asked for."""
    if premise.kind == "symptom":
        return (
            f"Noticed at {name_part(scope, str(premise['part']))}: {knowledge.symptoms[str(premise['symptom'])].name}"
        )
    if premise.kind == "told":
        return f"Told: {knowledge.conditions[str(premise['condition'])].name}"
    told = [f"{name.replace('_', ' ')} {premise[name]}" for name in fields]
    about = " and ".join(name_part(scope, str(premise[name])) for name in WHOM.get(premise.kind, ("part",)))
    return f"{about}: {', '.join(told)}" if told else about
