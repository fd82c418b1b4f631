"""What an inspector finds between two parts: addresses used twice, inputs that fight, programmes that cross."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

from diag.inspection.view import View
from diag.rules import Fact, fact
from diag.site import Input, Lockout, Schedule

EVERY_DAY = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
MEASURING = frozenset({"thermostat", "temperature", "co2"})
YEAR = ("01-01", "12-31")


def relation_facts(view: View) -> Iterator[Fact]:
    """Yield a fact for every pair that deserves a look."""
    yield from _same_drive_addresses(view)
    yield from _trunk_pairs(view)
    for zone in view.site.zones:
        yield from _contests(view, zone)
        yield from _clashes(view, zone)
        yield from _blocked(view, zone)


def _same_drive_addresses(view: View) -> Iterator[Fact]:
    first: dict[tuple[str, int], str] = {}
    for drive, it in view.site.drives.items():
        if it.address is None or it.output is None:
            continue
        other = first.setdefault((it.output, it.address), drive)
        if other != drive:
            yield fact(
                "same-address", {"part": drive, "other": other, "output": it.output, "address": float(it.address)}
            )


def _trunk_pairs(view: View) -> Iterator[Fact]:
    """Compare each link with the first on its trunk that has the same address, or that gives the same setting."""
    owners: dict[tuple[str, int], str] = {}
    settings: dict[tuple[str, str], str] = {}
    for link, it in view.site.links.items():
        if it.trunk is None:
            continue
        if it.address is not None and (other := owners.setdefault((it.trunk, it.address), link)) != link:
            yield fact(
                "same-link-address", {"part": link, "other": other, "trunk": it.trunk, "address": float(it.address)}
            )
        for name in ("speed_baud", "parity", "protocol"):
            value = getattr(it, name)
            if value is None:
                continue
            other = settings.setdefault((it.trunk, name), link)
            theirs = getattr(view.site.links[other], name)
            if theirs != value:
                yield fact("trunk-differs", _difference(link, other, it.trunk, name, value, theirs))


def _difference(link: str, other: str, trunk: str, name: str, value: object, theirs: object) -> Mapping[str, str]:
    setting = name.removesuffix("_baud")
    return {
        "part": link,
        "other": other,
        "trunk": trunk,
        "setting": setting,
        "own": str(value),
        "theirs": str(theirs),
    }


def _contests(view: View, zone: str) -> Iterator[Fact]:
    """Compare inputs of one command class on one zone: the precedence cannot choose between them."""
    inputs = [(one, view.site.inputs[one]) for one in view.topology.inputs_of_zone(zone)]
    for (one, first), (other, second) in combinations(inputs, 2):
        if first.command_class != second.command_class:
            continue
        what = _contest(first, second)
        if what:
            yield fact("contest", {"part": other, "other": one, "zone": zone, "what": what})


def _contest(first: Input, second: Input) -> str | None:
    if first.command_class is None:
        return None
    actions = {first.active_does, second.active_does}
    if actions == {"open", "close"}:
        return "opposite"
    same_kind = first.kind == second.kind and first.kind in MEASURING
    differ = None not in (first.set_point, second.set_point) and first.set_point != second.set_point
    return "two-set-points" if same_kind and differ else None


def _clashes(view: View, zone: str) -> Iterator[Fact]:
    for one, other in combinations(view.topology.schedules_of_zone(zone), 2):
        first, second = view.site.schedules[one], view.site.schedules[other]
        if first.at is None or first.at != second.at or {first.does, second.does} != {"open", "close"}:
            continue
        if _share_a_day(first, second):
            yield fact("clash", {"part": other, "other": one, "zone": zone, "at": first.at})


def _share_a_day(first: Schedule, second: Schedule) -> bool:
    """Return whether some day belongs to both; days that are not given are not known to be shared."""
    if first.days is None or second.days is None or not set(first.days) & set(second.days):
        return False
    return _overlap((first.from_day, first.until_day), (second.from_day, second.until_day))


def _overlap(one: Sequence[str | None], other: Sequence[str | None]) -> bool:
    """Return whether two spans of the year share a day; a span without ends is the whole year."""
    first, second = _stretches(one), _stretches(other)
    return any(a <= d and c <= b for a, b in first for c, d in second)


def _stretches(span: Sequence[str | None]) -> list[tuple[str, str]]:
    start, end = span[0] or YEAR[0], span[1] or YEAR[1]
    return [(start, end)] if start <= end else [(start, YEAR[1]), (YEAR[0], end)]


def _blocked(view: View, zone: str) -> Iterator[Fact]:
    """Find programmes that always fall into a lockout of the zone that refuses what they ask."""
    for schedule in view.topology.schedules_of_zone(zone):
        it = view.site.schedules[schedule]
        for lockout in view.topology.lockouts_of_zone(zone):
            if _blocks(view.site.lockouts[lockout], it):
                yield fact("blocked", {"part": schedule, "lockout": lockout, "zone": zone, "at": it.at or ""})


def _blocks(lockout: Lockout, it: Schedule) -> bool:
    if it.does not in ("open", "close") or lockout.refuses not in (it.does, "both") or lockout.input is not None:
        return False
    if lockout.from_time is None and lockout.from_day is None:
        return False
    return _holds_time(lockout, it.at) and _holds_season(lockout, it)


def _holds_time(lockout: Lockout, at: str | None) -> bool:
    start, end = lockout.from_time, lockout.until_time
    if start is None or end is None:
        return True
    if at is None:
        return False
    return start <= at < end if start < end else at >= start or at < end


def _holds_season(lockout: Lockout, it: Schedule) -> bool:
    if lockout.from_day is None or lockout.until_day is None:
        return True
    locked = _stretches((lockout.from_day, lockout.until_day))
    asked = _stretches((it.from_day, it.until_day))
    return all(any(start <= a and b <= end for start, end in locked) for a, b in asked)
