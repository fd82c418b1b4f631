"""Ask what is wrong in a description into which one fault was put."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice
from random import Random
from typing import Any

from diag.inspection.findings import Finding
from diag.inspection.run import inspect
from diag.site import Site
from diag.training.dice import pick, spread
from diag.training.draft import FEWEST_WRONG, Draft, Refused
from diag.training.item import Choice, Item, Level, Reference
from diag.training.kinds.description_lines import drawn_beside, lines_of, told_fields
from diag.training.kinds.spoiling import Spoiling, leaves, spoilings, spoilt, varied
from diag.training.lint import echoes
from diag.training.sources import shown_source
from diag.training.workshop import Workshop
from knowledge.inspection_entries import InspectionRule

TRIES = 6
OF_ANOTHER_SORT = ("kind", "protocol")
"""Fields that a fault does not change: the lines beside them would no longer fit, and be faults as well."""


@dataclass(frozen=True)
class _Asked:
    """A fault put into a part: the fields that make it, the lines to show, and the rules that are not broken there."""

    spoiling: Spoiling
    part: str
    site: Site
    fields: Mapping[str, Any]
    lines: tuple[str, ...]
    rivals: tuple[InspectionRule, ...]


def draft_description_fault(workshop: Workshop, rng: Random, level: Level, topic: str | None) -> Draft:
    """Return a question on the fault of a description; raise Refused."""
    every = spoilings(workshop)
    for asked in islice(_askable(workshop, every, rng, level, topic), TRIES):
        finding = _finding_of(workshop, asked)
        if finding is not None:
            return _draft(workshop, asked, finding)
    raise Refused("no fault can be put in alone")


def _askable(
    workshop: Workshop, every: Sequence[Spoiling], rng: Random, level: Level, topic: str | None
) -> Iterator[_Asked]:
    """Yield faults that can be asked about, first with figures of their own, then with those of the rule's case."""
    chosen = [it for it in every if topic in (None, _topic(workshop, it))]
    if not chosen:
        return
    first, within = pick(chosen, spread(rng))
    others = [it for it in chosen if it is not first]
    rng.shuffle(others)
    for it in (first, *others):
        part = pick(sorted(getattr(workshop.prepared.site, it.section)), within)[0]
        for fields in (varied(it.fields, rng), it.fields):
            asked = _asked(workshop, every, it, part, fields, level, rng)
            if asked is not None:
                yield asked


def _asked(
    workshop: Workshop,
    every: Sequence[Spoiling],
    it: Spoiling,
    part: str,
    fields: Mapping[str, Any],
    level: Level,
    rng: Random,
) -> _Asked | None:
    """Return a fault with its lines; None where too few wrong answers hide the right one. Inspecting costs more."""
    before = told_fields(getattr(workshop.prepared.site, it.section)[part])
    if any(fields.get(name, before.get(name)) != before.get(name) for name in OF_ANOTHER_SORT):
        return None
    site = spoilt(workshop.prepared.site, it.section, part, fields)
    if site is None:
        return None
    told = told_fields(getattr(site, it.section)[part])
    said = frozenset(leaves(told))
    rivals = [other.rule for other in every if _is_rival(other, it, told) and other.leaves <= said]
    lines = lines_of(workshop, told, drawn_beside(told, fields, level, rng) | fields.keys())
    asked = (workshop.part(part), *lines)
    if len(rivals) < FEWEST_WRONG or echoes(asked, it.rule.title, [other.title for other in rivals]):
        return None
    rng.shuffle(rivals)
    return _Asked(it, part, site, fields, tuple(lines), tuple(rivals))


def _is_rival(one: Spoiling, other: Spoiling, told: Mapping[str, Any]) -> bool:
    """Return whether a rule is about something else in parts of the same section, and of the kind of this one."""
    is_of_kind = one.fields.get("kind") in (None, told.get("kind"))
    return is_of_kind and one.section == other.section and one.rule.id != other.rule.id


def _topic(workshop: Workshop, it: Spoiling) -> str:
    return workshop.topic_of_part(min(getattr(workshop.prepared.site, it.section)))


def _finding_of(workshop: Workshop, asked: _Asked) -> Finding | None:
    """Return the finding when the fault is put into the part; None unless it is the only new one."""
    new = [it for it in _inspected(workshop, asked.site) if (it.rule, it.part) not in workshop.found_as_described]
    return new[0] if [(it.rule, it.part) for it in new] == [(asked.spoiling.rule.id, asked.part)] else None


def _inspected(workshop: Workshop, site: Site) -> tuple[Finding, ...]:
    return inspect(workshop.inspector, site, workshop.today).findings


def _draft(workshop: Workshop, asked: _Asked, finding: Finding) -> Draft:
    rule, say, english = asked.spoiling.rule, workshop.phrases.say, workshop.phrases.english
    return Draft(
        kind="description-fault",
        topic=_topic(workshop, asked.spoiling),
        stem=(
            say("site", site=workshop.prepared.site.name),
            say("description-of", part=workshop.part(asked.part)),
            *asked.lines,
        ),
        lead_in=say("description-fault"),
        key=Choice(rule.id, english("choices", rule.title), english("why", finding.reason)),
        wrong=tuple(Choice(it.id, it.title, english("why", _why_not(it))) for it in asked.rivals),
        explanation=english("explanation", f"{finding.reason} {finding.remedy} Source: {shown_source(rule.source)}."),
        references=(Reference("causes", rule.cause),) if rule.cause else (),
        evidence={
            "section": asked.spoiling.section,
            "part": asked.part,
            "rule": rule.id,
            "fields": json.dumps(asked.fields, default=str),
        },
    )


def _why_not(rule: InspectionRule) -> str:
    return f"Nothing in these lines says so. An example that would: {rule.cases[0].name}."


def prove_description_fault(workshop: Workshop, item: Item) -> Iterator[str]:
    """Yield what keeps the item from being right when the description is inspected again."""
    section, part, key = (str(item.evidence[it]) for it in ("section", "part", "rule"))
    changed = spoilt(workshop.prepared.site, section, part, json.loads(str(item.evidence["fields"])))
    found = {it.rule for it in _inspected(workshop, changed)} if changed else set()
    if key not in found:
        yield f"{key} is not found"
    yield from (f"{it.id} is found as well" for it in item.wrong if it.id in found)
