"""Find ids used twice and names that point at no part, or at a part of the wrong kind."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from diag.site_parts import KIND_NAMES, Data, kinds_in_words, parts, with_article
from knowledge.faults import Path, Problem, nearest, quoted, suggestion

CABLE_STARTS = ("outputs", "junctions", "drives", "controllers")
CABLE_ENDS = ("junctions", "drives", "fans", "inputs")
PLACED = tuple(section for section in KIND_NAMES if section != "places")

REFERENCES: dict[tuple[str, str], tuple[str, ...]] = {
    **{(section, "place"): ("places",) for section in PLACED},
    ("outputs", "controller"): ("controllers",),
    ("drives", "output"): ("outputs",),
    ("drives", "opening"): ("openings",),
    ("cables", "from"): CABLE_STARTS,
    ("cables", "to"): CABLE_ENDS,
    ("zones", "openings"): ("openings",),
    ("zones", "fans"): ("fans",),
    ("inputs", "controller"): ("controllers",),
    ("inputs", "zones"): ("zones",),
    ("inputs", "link"): ("links",),
    ("lockouts", "zones"): ("zones",),
    ("lockouts", "input"): ("inputs",),
    ("schedules", "zones"): ("zones",),
    ("links", "controller"): ("controllers",),
    ("links", "zones"): ("zones",),
    ("fans", "output"): ("outputs",),
    ("fans", "interlock"): ("openings",),
}
"""Which sections the parts named in a field may come from."""

FEW = 12
SUGGESTED = 40
"""Looking for like names among thousands costs time; later faults go without."""

Sections = dict[str, str]


@dataclass(frozen=True, slots=True)
class Reference:
    """A name written at a path, where a part of these kinds is meant."""

    path: Path
    name: str
    kinds: tuple[str, ...]
    at_key: bool = False


def reference_problems(data: Data) -> Iterator[Problem]:
    """Yield every id used twice and every name that does not lead to a part of the right kind."""
    sections = _sections_by_id(data)
    references = [*_field_references(data), *_walk_references(data)]
    broken = [reference for reference in references if sections.get(reference.name) not in reference.kinds]
    yield from _repeated_ids(data, sections)
    yield from _explained(broken, sections)
    yield from _repeated_names(references)


def _sections_by_id(data: Data) -> Sections:
    found: Sections = {}
    for section, part_id in _ids(data):
        found.setdefault(part_id, section)
    return found


def _ids(data: Data) -> Iterator[tuple[str, str]]:
    for section in KIND_NAMES:
        members = data.get(section)
        for part_id in members if isinstance(members, dict) else ():
            yield section, part_id


def _repeated_ids(data: Data, sections: Sections) -> Iterator[Problem]:
    for section, part_id in _ids(data):
        if sections[part_id] == section:
            continue
        first, this = with_article(KIND_NAMES[sections[part_id]]), KIND_NAMES[section]
        message = f"{quoted(part_id)} is already the id of {first}; give this {this} another id"
        yield Problem((section, part_id), message, part_id, at_key=True)


def _field_references(data: Data) -> Iterator[Reference]:
    for (section, field), kinds in REFERENCES.items():
        for part_id, fields in parts(data, section):
            value = fields.get(field)
            path = (section, part_id, field)
            if isinstance(value, str):
                yield Reference(path, value, kinds)
            for index, name in enumerate(value if isinstance(value, list) else ()):
                if isinstance(name, str):
                    yield Reference((*path, index), name, kinds)


def _walk_references(data: Data) -> Iterator[Reference]:
    for place, fields in parts(data, "places"):
        walks = fields.get("walk_minutes")
        for other in walks if isinstance(walks, dict) else ():
            yield Reference(("places", place, "walk_minutes", other), other, ("places",), at_key=True)


def _repeated_names(references: list[Reference]) -> Iterator[Problem]:
    """Yield names listed twice in one list, and walks from a place to itself."""
    seen: set[tuple[Path, str]] = set()
    for reference in references:
        listed_in = reference.path[:-1]
        if reference.at_key and reference.name == reference.path[1]:
            yield Problem(reference.path, "a place needs no walk to itself; take this out", at_key=True)
        if isinstance(reference.path[-1], int) and (listed_in, reference.name) in seen:
            yield Problem(reference.path, f"{quoted(reference.name)} is listed twice; take one out", reference.name)
        seen.add((listed_in, reference.name))


def _explained(broken: list[Reference], sections: Sections) -> Iterator[Problem]:
    known = {kinds: _ids_of(kinds, sections) for kinds in {reference.kinds for reference in broken}}
    for number, reference in enumerate(broken):
        if reference.name in sections:
            yield _wrong_kind(reference, sections[reference.name])
        else:
            yield _unknown(reference, known[reference.kinds], number < SUGGESTED)


def _ids_of(kinds: tuple[str, ...], sections: Sections) -> tuple[str, ...]:
    return tuple(part_id for part_id, section in sections.items() if section in kinds)


def _wrong_kind(reference: Reference, section: str) -> Problem:
    wanted = kinds_in_words(reference.kinds)
    message = f"{quoted(reference.name)} is {with_article(KIND_NAMES[section])}; {wanted} is needed here"
    return Problem(reference.path, message, reference.name, (wanted,), at_key=reference.at_key)


def _unknown(reference: Reference, known: tuple[str, ...], with_suggestion: bool) -> Problem:
    wanted = " or ".join(KIND_NAMES[kind] for kind in reference.kinds)
    close = nearest(reference.name, known) if with_suggestion else ()
    way_out = suggestion(close) or _those_there_are(known)
    message = f"no {wanted} {quoted(reference.name)} is described{way_out}"
    return Problem(reference.path, message, reference.name, known, close, reference.at_key, is_absence=True)


def _those_there_are(known: tuple[str, ...]) -> str:
    return f"; there is {', '.join(known)}" if 0 < len(known) <= FEW else "; add it or mend the name"
