"""Name parts, times and days of a timeline the way people say them."""

from __future__ import annotations

from datetime import datetime

from diag.timeline.clock import changes_clock
from diag.timeline.plan import Plan

CLASS_NAMES = {
    "smoke": "smoke alarm",
    "maintenance": "maintenance",
    "wind": "wind",
    "rain": "rain",
    "manual": "hand command",
    "link": "building link",
    "schedule": "time programme",
    "automatic": "automatic",
}


def name_of(plan: Plan, part: str) -> str:
    """Return the name of a part, or of a command class when nobody knows which part; else the id."""
    site = plan.site
    for section in (site.zones, site.inputs, site.lockouts, site.schedules, site.links, site.controllers):
        if part in section:
            return getattr(section[part], "name", None) or part
    return CLASS_NAMES.get(part, part)


def capital(text: str) -> str:
    """Return a text with its first letter large."""
    return text[:1].upper() + text[1:]


def clock_of(plan: Plan, at: datetime) -> str:
    """Return the time of day at the site; with seconds if there are any, with the offset's name on days of change."""
    local = at.astimezone(plan.time_zone)
    text = f"{local:%H:%M:%S}" if local.second or local.microsecond else f"{local:%H:%M}"
    return f"{text} {local.tzname()}" if changes_clock(local.date(), plan.time_zone) else text


def day_of(plan: Plan, at: datetime) -> str:
    """Return the day at the site, such as Monday 4 May 2026."""
    local = at.astimezone(plan.time_zone)
    return f"{local:%A} {local.day} {local:%B %Y}"


def clock_from(plan: Plan, at: datetime, seen: datetime) -> str:
    """Return the time of day, with the date in front when it is another day than `seen`."""
    local, other = at.astimezone(plan.time_zone), seen.astimezone(plan.time_zone)
    if local.date() == other.date():
        return clock_of(plan, at)
    return f"{local.day} {local:%B}{'' if local.year == other.year else f' {local.year}'}, {clock_of(plan, at)}"
