"""Ask what is wrong in a description into which one fault was put."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from datetime import date
from itertools import islice
from random import Random
from typing import Any

from pydantic import ValidationError

from diag.inspection.findings import Finding
from diag.inspection.run import inspect
from diag.site import Part, Site
from diag.topology import KINDS
from diag.training.draft import FEWEST_WRONG, Draft, Refused
from diag.training.item import Choice, Item, Level, Reference
from diag.training.workshop import Workshop
from knowledge.inspection_entries import InspectionRule

TRIES = 6
BESIDE: Mapping[Level, int] = {1: 3, 2: 6, 3: 12}
"""How many fields are shown beside those of the fault: more to read at a higher level."""

DATE = re.compile(r"\d{4}-\d{2}-\d{2}")
VARIED = (0.88, 1.12)
NOT_SHOWN = ("name", "also", "note", "place")
UNITS = {"_ohm": "ohm", "_mm_s": "mm/s", "_mm2": "mm²", "_mm": "mm", "_ma": "mA", "_ah": "Ah", "_a": "A", "_v": "V",
         "_s": "s", "_m2": "m²", "_m": "m", "_c": "°C", "_n": "N", "_minutes": "min", "_hours": "h"}  # fmt: skip


def draft_description_fault(workshop: Workshop, rng: Random, level: Level, topic: str | None) -> Draft:
    """Return a question on the fault of a description; raise Refused."""
    rules = [it for it in workshop.inspector.inspections.rules.values() if _is_shown(workshop, it, topic)]
    rng.shuffle(rules)
    drawn = [(it, rng.choice(sorted(getattr(workshop.prepared.site, _section(it))))) for it in rules]
    for rule, part in islice((it for it in drawn if _has_rivals(workshop, *it)), TRIES):
        for fields in (_varied(_fields(rule), rng), _fields(rule)):
            finding = _finding_of(workshop, rule, part, fields)
            if finding is not None:
                return _draft(workshop, rule, finding, fields, level, rng)
    raise Refused("no fault can be put in alone")


def _has_rivals(workshop: Workshop, rule: InspectionRule, part: str) -> bool:
    """Return whether the part, spoilt, is described well enough for wrong answers; inspecting it costs more."""
    changed = spoilt(workshop.prepared.site, _section(rule), part, _fields(rule))
    described = getattr(changed, _section(rule))[part] if changed else None
    return described is not None and sum(_is_told(described, it) for it in _kindred(workshop, rule)) >= FEWEST_WRONG


def _is_shown(workshop: Workshop, rule: InspectionRule, topic: str | None) -> bool:
    """Return whether a fault lies in the fields of one part, of a kind the site has."""
    fields = _fields(rule)
    has_part = bool(fields) and bool(getattr(workshop.prepared.site, _section(rule)))
    return has_part and topic in (None, _topic(workshop, rule))


def _topic(workshop: Workshop, rule: InspectionRule) -> str:
    return workshop.topic_of_part(min(getattr(workshop.prepared.site, _section(rule))))


def _section(rule: InspectionRule) -> str:
    """Return the section of the part at which the first case finds something."""
    found = rule.cases[0].finds[0] if rule.cases[0].finds else ""
    sections = {name: parts for name, parts in (rule.cases[0].site or {}).items() if isinstance(parts, dict)}
    return next((name for name, parts in sections.items() if name in KINDS and found in parts), "")


def _fields(rule: InspectionRule) -> Mapping[str, Any]:
    """Return the fields of that part that make the fault; empty where other parts are needed for it."""
    case, section = rule.cases[0], _section(rule)
    if (
        not section
        or len(case.finds) != 1
        or set(case.site or {}) - {section, "name"}
        or len((case.site or {})[section]) > 1
    ):
        return {}
    fields: Mapping[str, Any] = (case.site or {})[section][case.finds[0]]
    return {name: value for name, value in fields.items() if name not in NOT_SHOWN}


def _varied(fields: Mapping[str, Any], rng: Random) -> dict[str, Any]:
    """Return the fields with their measures a little greater or smaller; counts, words and dates stay."""
    return {name: _varied_value(it, rng) for name, it in fields.items()}


def _varied_value(value: Any, rng: Random) -> Any:
    if isinstance(value, dict):
        return _varied(value, rng)
    return float(f"{value * rng.uniform(*VARIED):.2g}") if isinstance(value, float) else value


def _finding_of(workshop: Workshop, rule: InspectionRule, part: str, fields: Mapping[str, Any]) -> Finding | None:
    """Return the finding when the fault is put into a part; None unless it is the only new one."""
    changed = spoilt(workshop.prepared.site, _section(rule), part, fields)
    if changed is None:
        return None
    before = {(it.rule, it.part) for it in _inspected(workshop, workshop.prepared.site)}
    new = [it for it in _inspected(workshop, changed) if (it.rule, it.part) not in before]
    return new[0] if len(new) == 1 and (new[0].rule, new[0].part) == (rule.id, part) else None


def _inspected(workshop: Workshop, site: Site) -> tuple[Finding, ...]:
    return inspect(workshop.inspector, site, workshop.today).findings


def spoilt(site: Site, section: str, part: str, fields: Mapping[str, Any]) -> Site | None:
    """Return the site with these fields put over those of a part; None where the two do not go together."""
    parts: dict[str, Part] = dict(getattr(site, section))
    described = parts[part].model_dump(by_alias=True, exclude_unset=True)
    try:
        parts[part] = type(parts[part]).model_validate(_merged(described, fields))
    except ValidationError:
        return None
    return site.model_copy(update={section: parts})


def _merged(described: Mapping[str, Any], fields: Mapping[str, Any]) -> dict[str, Any]:
    merged = dict(described)
    for name, value in fields.items():
        both = isinstance(value, dict) and isinstance(merged.get(name), dict)
        merged[name] = _merged(merged[name], value) if both else value
    return merged


def _draft(
    workshop: Workshop, rule: InspectionRule, finding: Finding, fields: Mapping[str, Any], level: Level, rng: Random
) -> Draft:
    section, english = _section(rule), workshop.phrases.english
    changed = spoilt(workshop.prepared.site, section, finding.part, fields)
    assert changed is not None
    described: Part = getattr(changed, section)[finding.part]
    others = [it for it in _kindred(workshop, rule) if _is_told(described, it)]
    rng.shuffle(others)
    return Draft(
        kind="description-fault",
        topic=_topic(workshop, rule),
        stem=(
            workshop.phrases.say("site", site=workshop.prepared.site.name),
            workshop.phrases.say("description-of", part=workshop.part(finding.part)),
            *_lines(workshop, described, fields, level),
        ),
        lead_in=workshop.phrases.say("description-fault"),
        key=Choice(rule.id, english("choices", rule.title), english("why", finding.reason)),
        wrong=tuple(Choice(it.id, it.title, english("why", _why_not(it))) for it in others),
        explanation=english("explanation", f"{finding.reason} {finding.remedy} Source: {rule.source}."),
        references=(Reference("causes", rule.cause),) if rule.cause else (),
        evidence={"section": section, "part": finding.part, "rule": rule.id, "fields": json.dumps(fields, default=str)},
    )


def _kindred(workshop: Workshop, rule: InspectionRule) -> list[InspectionRule]:
    """Return the other rules about parts of the same kind."""
    rules = workshop.inspector.inspections.rules.values()
    return [it for it in rules if it.id != rule.id and _section(it) == _section(rule)]


def _is_told(part: Part, rule: InspectionRule) -> bool:
    """Return whether the description says what the rule asks about, so that its absence can be seen."""
    fields = set(_leaves(_fields(rule)))
    return bool(fields) and fields <= set(_leaves(part.model_dump(by_alias=True, exclude_unset=True)))


def _leaves(fields: Mapping[str, Any], above: str = "") -> Iterator[str]:
    """Yield every field that has a value, with those it lies in before it."""
    for name, value in fields.items():
        if isinstance(value, dict):
            yield from _leaves(value, f"{above}{name}.")
        else:
            yield f"{above}{name}"


def _why_not(rule: InspectionRule) -> str:
    return f"These lines do not show it. It would be so with, for example, this: {rule.cases[0].name}."


def _lines(workshop: Workshop, part: Part, fault: Mapping[str, Any], level: Level) -> list[str]:
    """Return lines of the description, those of the fault among them, and the day where one of them is a date."""
    told = {
        name: it for name, it in part.model_dump(by_alias=True, exclude_unset=True).items() if name not in NOT_SHOWN
    }
    beside = [name for name in told if name not in fault][: BESIDE[level]]
    shown = [line for name, it in told.items() if name in fault or name in beside for line in _line(name, it)]
    has_date = any(DATE.search(line) for line in shown)
    return [*shown, *([workshop.phrases.say("day", day=workshop.today.isoformat())] if has_date else [])]


def _line(name: str, value: object) -> Iterator[str]:
    if isinstance(value, dict):
        yield from (line for inner, it in value.items() for line in _line(f"{name}: {inner}", it))
        return
    ending = next((it for it in UNITS if name.endswith(it)), "")
    plain = name.removesuffix(ending).replace("_", " ")
    shown = ", ".join(map(str, value)) if isinstance(value, list) else _shown(value)
    yield f"{plain}: {shown}{f' {UNITS[ending]}' if ending else ''}"


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else value.isoformat() if isinstance(value, date) else str(value)


def prove_description_fault(workshop: Workshop, item: Item) -> Iterator[str]:
    """Yield what keeps the item from being right when the description is inspected again."""
    section, part, key = (str(item.evidence[it]) for it in ("section", "part", "rule"))
    changed = spoilt(workshop.prepared.site, section, part, json.loads(str(item.evidence["fields"])))
    found = {it.rule for it in _inspected(workshop, changed)} if changed else set()
    if key not in found:
        yield f"{key} is not found"
    yield from (f"{it.id} is found as well" for it in item.wrong if it.id in found)
