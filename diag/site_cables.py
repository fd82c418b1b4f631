"""Find cables that do not make trees: ends fed twice, rings, parts fed from elsewhere than they say."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from diag.site_parts import Data, parts, text_at
from knowledge.faults import Problem, quoted

HUNG_ON = {
    "drives": ("output", "outputs"),
    "fans": ("output", "outputs"),
    "inputs": ("controller", "controllers"),
}
"""For parts at the end of cables: the field that names where their cables start, and the section of that."""

SOURCES = ("controllers", "outputs")

Feeds = Mapping[str, tuple[str, str]]


def cable_problems(data: Data) -> list[Problem]:
    """Return what keeps the cables from being trees that agree with the outputs the drives and fans name."""
    feeds, doubles = _feeds(data)
    rings = list(_rings(feeds))
    return [*doubles, *rings, *([] if rings else _strangers(data, feeds))]


def _feeds(data: Data) -> tuple[dict[str, tuple[str, str]], list[Problem]]:
    """Return for each fed part its cable and where that comes from, and a problem for each second feed."""
    feeds: dict[str, tuple[str, str]] = {}
    doubles = []
    for cable, fields in parts(data, "cables"):
        start, end = text_at(fields, "from"), text_at(fields, "to")
        if end in feeds:
            doubles.append(_fed_twice(cable, end, feeds[end][0]))
        elif start and end:
            feeds[end] = cable, start
    return feeds, doubles


def _fed_twice(cable: str, end: str, first: str) -> Problem:
    message = (
        f"{quoted(end)} is already fed by cable {quoted(first)}; each part is fed by one cable."
        " Leave out a cable that closes a ring and say so in a note"
    )
    return Problem(("cables", cable, "to"), message, end)


def _rings(feeds: Feeds) -> Iterator[Problem]:
    """Yield one problem for each ring; every part has one feed, so following feeds finds them all."""
    settled: set[str] = set()
    for part in feeds:
        trail: dict[str, None] = {}
        while part in feeds and part not in settled and part not in trail:
            trail[part] = None
            part = feeds[part][1]
        if part in trail:
            yield _ring(feeds, part)
        settled.update(trail)


def _ring(feeds: Feeds, part: str) -> Problem:
    first = part
    cables: list[str] = []
    while not cables or part != first:
        cable, part = feeds[part]
        cables.append(cable)
    message = (
        f"the cables {', '.join(sorted(cables))} run in a ring that no output feeds;"
        " start the first at its output, leave out the one that closes the ring and say so in a note"
    )
    return Problem(("cables", min(cables)), message, ", ".join(sorted(cables)), at_key=True)


def _strangers(data: Data, feeds: Feeds) -> Iterator[Problem]:
    roots = _roots(feeds)
    sources = {section: {part for part, _ in parts(data, section)} for section in SOURCES}
    for section, (field, source_section) in HUNG_ON.items():
        for part, fields in parts(data, section):
            named, root = text_at(fields, field), roots.get(part)
            if named == root or named not in sources[source_section]:
                continue  # a name that leads nowhere is a fault of its own
            if root is None or not any(root in known for known in sources.values()):
                continue  # a box nobody feeds yet is incomplete, not wrong
            message = f"found {quoted(named)}, but its cables start at {quoted(root)}; mend one of them"
            yield Problem((section, part, field), message, named, (root,))


def _roots(feeds: Feeds) -> dict[str, str]:
    """Return for each fed part where its cables start; feeds hold no ring."""
    roots: dict[str, str] = {}
    for fed in feeds:
        trail, part = [], fed
        while part in feeds and part not in roots:
            trail.append(part)
            part = feeds[part][1]
        roots.update(dict.fromkeys(trail, roots.get(part, part)))
    return roots
