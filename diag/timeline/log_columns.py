"""What the columns of an event log may hold, and what each source may say."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from diag.timeline.events import EVENTS
from diag.timeline.levels import DEFAULT_ORDER
from diag.timeline.plan import Plan

COLUMNS: Mapping[str, str] = {
    "time": "date and time by the site's clock, such as 2026-05-04 10:05; an offset such as +01:00 may follow",
    "source": "id or name of an input, building link, lockout, controller or zone, or a command class",
    "event": f"one of {', '.join(EVENTS)}",
    "value": "a reading in the sensor's unit, seconds pressed, or what the link writes: open, close, stop, 0 to 100 %",
    "zone": "id or name of the zone, where only one of the source's zones is meant",
    "priority": "1 to 16, for what the building link writes",
}
"""Every column; the first three are needed, the others may be left out, and the order is free."""

NEEDED = ("time", "source", "event")

BY_HAND = ("open", "close", "stop", "step", "moved")
CONTACT = ("on", "off")
AUTOMATIC = ("automatic-on", "automatic-off")
EVENTS_OF_CLASS: Mapping[str, tuple[str, ...]] = {
    "manual": (*BY_HAND, *CONTACT),
    "link": ("open", "close", "stop", "moved", "write", "relinquish", *CONTACT),
    "smoke": (*CONTACT, "reset"),
    "maintenance": (*CONTACT, "reset"),
    "rain": (*CONTACT, "reading"),
    "wind": (*CONTACT, "reading"),
    "automatic": (*CONTACT, "reading", *AUTOMATIC),
}
EVENTS_OF_OTHERS = (*BY_HAND, *AUTOMATIC, "reset")
EVENTS_OF_LOCKOUT = (*CONTACT, "reading")

PROGRAMMES_PLAY_THEMSELVES = "time programmes run by the site description; leave the line out"


def names_of_sources(plan: Plan) -> dict[str, str]:
    """Return every name a source may be written by, in small letters, with the id it means; ids come first."""
    site = plan.site
    named = (site.inputs, site.links, site.lockouts, site.zones, site.controllers, site.schedules)
    parts = {part: it for section in named for part, it in section.items()}
    names = {spoken.casefold(): part for part, it in reversed(parts.items()) for spoken in _spoken(it)}
    return names | {name: name for name in (*DEFAULT_ORDER, *parts)}


def names_of_zones(plan: Plan) -> dict[str, str]:
    """Return every name a zone may be written by, in small letters, with its id."""
    zones = plan.site.zones
    names = {spoken.casefold(): part for part, it in zones.items() for spoken in _spoken(it)}
    return names | {part: part for part in zones}


def allowed_events(plan: Plan, source: str) -> tuple[str, ...]:
    """Return the events a source may have; none for a time programme, which plays by itself."""
    if source in plan.inputs:
        return EVENTS_OF_CLASS.get(plan.inputs[source].command_class, ())
    if source in plan.lockouts:
        return EVENTS_OF_LOCKOUT
    if source == "schedule" or source in plan.site.schedules:
        return ()
    return EVENTS_OF_CLASS.get(source, EVENTS_OF_OTHERS)


def _spoken(part: object) -> Iterator[str]:
    name = getattr(part, "name", None)
    if name:
        yield name
    yield from getattr(part, "also", ())
